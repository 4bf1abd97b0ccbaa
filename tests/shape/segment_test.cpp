#include "eaveshed/shape/segment.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdint>
#include <random>

#include "shape/random_shapes.hpp"

namespace eaveshed {
namespace {

TEST(Segment, LeftIsLeftWhenLookingAlongIt) {
    const Segment north{{0.0, 0.0}, {0.0, 1.0}};
    EXPECT_EQ(side_of(north, {-1.0, 0.5}), Side::left);
    EXPECT_EQ(side_of(north, {1.0, 5.0}), Side::right);
    EXPECT_EQ(side_of(north, {0.0, -7.0}), Side::on);
}

// Whole numbers below 2^26 have exact products in 64 bits: an independent exact answer. The points lie on the line or
// one unit beside it, far from the origin, where plain doubles of the coordinates' size would be at the end of their
// digits.
TEST(Segment, SideIsExactForPointsWithinOneUnitOfTheLine) {
    testing::Random random = testing::seeded(11);
    std::uniform_int_distribution<std::int64_t> far(-(1 << 25), 1 << 25);
    std::uniform_int_distribution<std::int64_t> near(-1, 1);
    int on = 0;
    for (int i = 0; i < 20000; ++i) {
        const std::int64_t ax = far(random);
        const std::int64_t ay = far(random);
        const std::int64_t ux = far(random) / 4096;
        const std::int64_t uy = far(random) / 4096;
        const std::int64_t bx = ax + 7 * ux;
        const std::int64_t by = ay + 7 * uy;
        const std::int64_t px = ax + 3 * ux + near(random);
        const std::int64_t py = ay + 3 * uy + near(random);
        const std::int64_t across = (bx - ax) * (py - ay) - (by - ay) * (px - ax);
        // Scaled by a power of two: still exact, but no whole numbers any more.
        const auto scaled = [](std::int64_t x, std::int64_t y) {
            return Point{std::ldexp(static_cast<double>(x), -13), std::ldexp(static_cast<double>(y), -13)};
        };
        const auto expected = across > 0 ? Side::left : across < 0 ? Side::right : Side::on;
        EXPECT_EQ(side_of({scaled(ax, ay), scaled(bx, by)}, scaled(px, py)), expected);
        EXPECT_EQ(exact_side_of({scaled(ax, ay), scaled(bx, by)}, scaled(px, py)), expected);
        on += expected == Side::on ? 1 : 0;
    }
    EXPECT_GT(on, 1000);
}

// Shewchuk's own family of hard cases: points a few units in the last place around (0.5, 0.5), the line from (12, 12)
// to (24, 24). On it exactly when x equals y, left of it when y is greater.
TEST(Segment, SideIsExactInTheLastPlace) {
    const double ulp = std::ldexp(1.0, -53);
    for (int i = 0; i < 64; ++i) {
        for (int j = 0; j < 64; ++j) {
            const Point point{0.5 + i * ulp, 0.5 + j * ulp};
            const Side expected = point.y > point.x ? Side::left : point.y < point.x ? Side::right : Side::on;
            EXPECT_EQ(side_of({{12.0, 12.0}, {24.0, 24.0}}, point), expected);
        }
    }
}

TEST(Segment, DistanceIsToTheEndsBeyondThemAndAcrossBetweenThem) {
    const Segment edge{{0.0, 0.0}, {4.0, 0.0}};
    EXPECT_DOUBLE_EQ(squared_distance(edge, {-3.0, 4.0}), 25.0);
    EXPECT_DOUBLE_EQ(squared_distance(edge, {7.0, -4.0}), 25.0);
    EXPECT_DOUBLE_EQ(squared_distance(edge, {1.0, -2.0}), 4.0);
    EXPECT_DOUBLE_EQ(squared_distance(edge, {1.0, 0.0}), 0.0);
}

TEST(Segment, AnEdgeWithoutLengthIsAPoint) {
    EXPECT_DOUBLE_EQ(squared_distance({{1.0, 1.0}, {1.0, 1.0}}, {4.0, 5.0}), 25.0);
}

TEST(Segment, DistanceDoesNotChangeWhenTheEdgeIsTurnedRound) {
    testing::Random random = testing::seeded(12);
    const Box box{-100.0, -100.0, 100.0, 100.0};
    for (int i = 0; i < 5000; ++i) {
        const Segment edge{testing::point_in(random, box), testing::point_in(random, box)};
        const Point point = testing::point_in(random, box);
        EXPECT_NEAR(std::sqrt(squared_distance(edge, point)), std::sqrt(squared_distance({edge.to, edge.from}, point)),
                    1e-11);
    }
}

TEST(RayCount, AChainToTheRightCountsLikeItsEdges) {
    testing::Random random = testing::seeded(13);
    for (int i = 0; i < 2000; ++i) {
        const Point point{0.0, std::floor(testing::uniform(random, -3.0, 3.0))};
        RayCount by_edges(point);
        RayCount by_ends(point);
        Line chain;
        for (int k = 0; k < 9; ++k) {
            chain.push_back({testing::uniform(random, 0.5, 9.0), std::floor(testing::uniform(random, -3.0, 3.0))});
        }
        for (std::size_t k = 1; k < chain.size(); ++k) {
            by_edges.add({chain[k - 1], chain[k]});
        }
        by_ends.add_chain_to_the_right(chain.front().y, chain.back().y);
        EXPECT_EQ(by_edges.inside(), by_ends.inside());
        EXPECT_FALSE(by_edges.on_edge());
    }
}

}  // namespace
}  // namespace eaveshed
