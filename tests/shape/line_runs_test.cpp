// Edges by where they are. The plain twin goes through every edge.
#include "eaveshed/shape/line_runs.hpp"

#include <gtest/gtest.h>

#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

using testing::RandomNumbers;

std::vector<Line> wandering_lines(RandomNumbers& random) {
    std::vector<Line> lines(4);
    for (Line& line : lines) {
        Point at{random.between(0.0, 1000.0), random.between(0.0, 1000.0)};
        for (int vertices = random.whole(0, 60); vertices > 0; --vertices) {
            line.push_back(at);
            at = {at.x + random.between(-20.0, 20.0), at.y + random.between(-20.0, 20.0)};
        }
    }
    return lines;
}

bool same(const Segment& a, const Segment& b) {
    return a.from == b.from && a.to == b.to;
}

TEST(LineRuns, GiveEveryEdgeInOrder) {
    RandomNumbers random(5);
    for (int world = 0; world < 50; ++world) {
        const std::vector<Line> lines = wandering_lines(random);
        std::vector<Segment> edges;
        for (const Line& line : lines) {
            for (std::size_t i = 1; i < line.size(); ++i) {
                edges.push_back({line[i - 1], line[i]});
            }
        }
        std::size_t next = 0;
        LineRuns(lines).visit_edges([](const Box&) { return true; },
                                    [&](const Segment& edge) {
                                        ASSERT_LT(next, edges.size());
                                        EXPECT_TRUE(same(edge, edges[next++]));
                                    });
        EXPECT_EQ(next, edges.size());
    }
}

TEST(LineRuns, PassOverNoEdgeThatMeetsTheBoxAskedFor) {
    RandomNumbers random(6);
    std::size_t all = 0;
    std::size_t visited = 0;
    for (int world = 0; world < 200; ++world) {
        const LineRuns runs(wandering_lines(random));
        const Point at{random.between(0.0, 1000.0), random.between(0.0, 1000.0)};
        const Box wanted{at.x - 50.0, at.y - 50.0, at.x + 50.0, at.y + 50.0};
        std::size_t found = 0;
        runs.visit_edges([&](const Box& box) { return box.intersects(wanted); },
                         [&](const Segment& edge) {
                             ++visited;
                             found += bounds(edge).intersects(wanted) ? 1U : 0U;
                         });
        std::size_t expected = 0;
        runs.visit_edges([](const Box&) { return true; },
                         [&](const Segment& edge) {
                             ++all;
                             expected += bounds(edge).intersects(wanted) ? 1U : 0U;
                         });
        EXPECT_EQ(found, expected);
    }
    EXPECT_LT(visited, all / 4);
}

TEST(LineRuns, OfNothingHaveNoEdge) {
    const auto none = [](const Segment&) { ADD_FAILURE(); };
    LineRuns().visit_edges([](const Box&) { return true; }, none);
    LineRuns({{}, {{1.0, 2.0}}}).visit_edges([](const Box&) { return true; }, none);
}

}  // namespace
}  // namespace eaveshed
