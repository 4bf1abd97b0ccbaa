#include "eaveshed/shape/boxed_lines.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <iterator>

#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

using testing::RandomNumbers;

Line wandering(RandomNumbers& random, int points) {
    Line line;
    Point at{random.between(-500.0, 500.0), random.between(-500.0, 500.0)};
    for (int i = 0; i < points; ++i) {
        line.push_back(at);
        at.x += random.between(-20.0, 30.0);
        at.y += random.between(-30.0, 20.0);
    }
    return line;
}

std::size_t edges_of(const std::vector<Line>& lines) {
    std::size_t edges = 0;
    for (const Line& line : lines) {
        edges += line.empty() ? 0 : line.size() - 1;
    }
    return edges;
}

TEST(BoxedLines, ShowEveryEdgeWithinTheLimitInOrderAndFewOthers) {
    RandomNumbers random(3);
    std::size_t shown = 0;
    std::size_t asked = 0;
    for (int world = 0; world < 60; ++world) {
        std::vector<Line> lines;
        for (int i = 0; i < 12; ++i) {
            lines.push_back(wandering(random, random.whole(0, 60)));
        }
        const BoxedLines boxed(lines);
        EXPECT_EQ(std::distance(boxed.begin(), boxed.end()), 12);
        const LocalFrame frame{{random.between(-9.0, 9.0), 4.0}, random.between(0.5, 2.0), random.between(0.5, 2.0)};
        for (int i = 0; i < 20; ++i) {
            const Point point{random.between(-600.0, 600.0), random.between(-600.0, 600.0)};
            const double limit_m = random.between(0.0, 120.0);
            std::vector<double> found;
            boxed.visit_near(
                point, frame, [&] { return limit_m; },
                [&](const Segment& edge) {
                    ++shown;
                    if (const double squared = squared_distance(edge, point); squared <= limit_m * limit_m) {
                        found.push_back(squared);
                    }
                });
            std::vector<double> expected;
            for (const Line& line : lines) {
                for (std::size_t k = 1; k < line.size(); ++k) {
                    const double squared =
                        squared_distance({frame.to_metres(line[k - 1]), frame.to_metres(line[k])}, point);
                    if (squared <= limit_m * limit_m) {
                        expected.push_back(squared);
                    }
                }
            }
            ASSERT_EQ(found, expected);
            asked += edges_of(lines);
        }
    }
    EXPECT_GT(shown, 0U);
    EXPECT_LT(shown, asked / 4);
}

TEST(BoxedLines, WithoutALimitShowEveryEdge) {
    RandomNumbers random(5);
    const std::vector<Line> lines{wandering(random, 41), {}, wandering(random, 1), wandering(random, 2)};
    std::size_t edges = 0;
    BoxedLines(lines).visit_near(
        {0.0, 0.0}, {}, [] { return INFINITY; }, [&](const Segment&) { ++edges; });
    EXPECT_EQ(edges, 41U);
}

}  // namespace
}  // namespace eaveshed
