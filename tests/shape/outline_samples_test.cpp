// method.md 1.9: where the ground beside a roof is sampled.
#include "eaveshed/shape/outline_samples.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "eaveshed/core/error.hpp"
#include "shape/random_shapes.hpp"

namespace eaveshed {
namespace {

TEST(OutlineSamples, CutEachSegmentIntoEqualStepsNoLongerThanHalfACell) {
    // 2.5 by 1 with half a cell of 1: 3, 1, 3, 1 steps.
    const std::vector<Point> samples = outline_samples(testing::rectangle(0.0, 0.0, 2.5, 1.0), 1.0);
    ASSERT_EQ(samples.size(), 8U);
    EXPECT_EQ(samples[0], (Point{0.0, 0.0}));
    EXPECT_NEAR(samples[1].x, 2.5 / 3.0, 1e-15);
    EXPECT_NEAR(samples[2].x, 5.0 / 3.0, 1e-15);
    EXPECT_EQ(samples[3], (Point{2.5, 0.0}));
    EXPECT_EQ(samples[4], (Point{2.5, 1.0}));
    EXPECT_EQ(samples[7], (Point{0.0, 1.0}));
}

TEST(OutlineSamples, LeaveOutHolesAndSegmentsWithoutLength) {
    MultiPolygon outline = testing::rectangle(0.0, 0.0, 1.0, 1.0);
    const std::size_t plain = outline_samples(outline, 0.25).size();
    EXPECT_EQ(plain, 16U);
    Polygon& part = outline.parts[0];
    part.holes.push_back(testing::rectangle(0.2, 0.2, 0.4, 0.4).parts[0].outer);
    part.outer.insert(part.outer.begin() + 1, part.outer[1]);
    EXPECT_EQ(outline_samples(outline, 0.25).size(), plain);
}

TEST(OutlineSamples, TakeEveryPart) {
    MultiPolygon outline = testing::rectangle(0.0, 0.0, 1.0, 1.0);
    outline.parts.push_back(testing::rectangle(5.0, 5.0, 6.0, 6.0).parts[0]);
    EXPECT_EQ(outline_samples(outline, 10.0).size(), 8U);
    EXPECT_EQ(outline_samples(outline, 10.0)[4], (Point{5.0, 5.0}));
    EXPECT_TRUE(outline_samples({}, 1.0).empty());
}

TEST(OutlineSamples, LieOnTheOutlineNoFartherApartThanHalfACell) {
    testing::Random random = testing::seeded(71);
    for (int i = 0; i < 100; ++i) {
        const Ring ring = testing::star_ring(random, {50.0, 50.0}, 5.0, 20.0, 9);
        const double half_cell = testing::uniform(random, 0.1, 3.0);
        std::vector<Point> samples = outline_samples(testing::one(ring), half_cell);
        samples.push_back(ring.front());
        double length = 0.0;
        double walked = 0.0;
        for (std::size_t k = 1; k < samples.size(); ++k) {
            const double step = std::hypot(samples[k].x - samples[k - 1].x, samples[k].y - samples[k - 1].y);
            EXPECT_LE(step, half_cell * (1.0 + 1e-12));
            walked += step;
        }
        for (std::size_t k = 1; k < ring.size(); ++k) {
            length += std::hypot(ring[k].x - ring[k - 1].x, ring[k].y - ring[k - 1].y);
        }
        EXPECT_NEAR(walked, length, 1e-9 * length);
    }
}

TEST(OutlineSamples, NeedAStep) {
    EXPECT_THROW(static_cast<void>(outline_samples(testing::rectangle(0.0, 0.0, 1.0, 1.0), 0.0)), Error);
}

}  // namespace
}  // namespace eaveshed
