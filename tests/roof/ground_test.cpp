// method.md 1.9: the ground at a roof.
#include "eaveshed/roof/ground.hpp"

#include <gtest/gtest.h>

#include <limits>

#include "support/terrain_cells.hpp"

namespace eaveshed {
namespace {

using testing::cells;
using testing::rectangle;

const Grid kGroundGrid{.x_min = 0.0, .y_max = 100.0, .cell_width = 2.0, .cell_height = 2.0, .rows = 50, .cols = 50};
constexpr double kGap = std::numeric_limits<double>::quiet_NaN();

// On a plane that rises 0.1 to the east: samples stand at the start of each metre (half a cell), so along a 10 by 4 m
// wall they are x = 20..29 (south), 30 four times (east), 30..21 (north), 20 four times (west): 28 of them.
TEST(Ground, OfAPlaneIsWorkedOutByHand) {
    const auto ground = ground_along(rectangle(20, 40, 10, 4), cells(kGroundGrid, [](Point p) { return 0.1 * p.x; }));
    ASSERT_TRUE(ground);
    EXPECT_NEAR(ground->low_m, 2.0, 1e-12);
    EXPECT_NEAR(ground->high_m, 3.0, 1e-12);
    EXPECT_NEAR(ground->mid_m, 2.5, 1e-12);  // as many on either side, one pair at 25
    EXPECT_FALSE(ground->gaps);
}

TEST(Ground, TheMedianOfAnEvenNumberIsTheMeanOfTheMiddleTwo) {
    // 1 m square: one sample at each corner: 0, 1, 11, 10 -> (1 + 10) / 2.
    const auto ground = ground_along(rectangle(20, 40, 1, 1),
                                     cells(kGroundGrid, [](Point p) { return (p.x - 20) + 10.0 * (p.y - 40); }));
    ASSERT_TRUE(ground);
    EXPECT_NEAR(ground->mid_m, 5.5, 1e-12);
    EXPECT_NEAR(ground->low_m, 0.0, 1e-12);
    EXPECT_NEAR(ground->high_m, 11.0, 1e-12);
}

TEST(Ground, OuterRingsCountAndHolesDoNot) {
    MultiPolygon outline = rectangle(20, 40, 30, 30);
    outline.parts.push_back(rectangle(60, 40, 4, 4).parts.front());
    const auto bowl =
        cells(kGroundGrid, [](Point p) { return p.x > 30 && p.x < 40 && p.y > 50 && p.y < 60 ? -50.0 : p.x; });
    const auto without = ground_along(outline, bowl);
    outline.parts.front().holes.push_back(rectangle(33, 53, 4, 4).parts.front().outer);
    const auto with_hole = ground_along(outline, bowl);
    ASSERT_TRUE(without && with_hole);
    EXPECT_EQ(with_hole->low_m, without->low_m);
    EXPECT_EQ(with_hole->mid_m, without->mid_m);
    EXPECT_NEAR(with_hole->high_m, 64.0, 1e-12);  // the second part's eastern wall
}

TEST(Ground, SamplesInGapsAreLeftOutAndTold) {
    const auto ground =
        ground_along(rectangle(20, 40, 10, 4), cells(kGroundGrid, [](Point p) { return p.x > 25 ? kGap : 7.0; }));
    ASSERT_TRUE(ground);
    EXPECT_TRUE(ground->gaps);
    EXPECT_EQ(ground->low_m, 7.0);
    EXPECT_EQ(ground->high_m, 7.0);
}

TEST(Ground, AMissingNeighbourDropsOutWithoutAGap) {
    // Only the eastern half of each stencil is missing along the west wall at x = 24.5.
    const auto ground =
        ground_along(rectangle(24.5, 40, 0.4, 4), cells(kGroundGrid, [](Point p) { return p.x > 25.5 ? kGap : 7.0; }));
    ASSERT_TRUE(ground);
    EXPECT_FALSE(ground->gaps);
    EXPECT_EQ(ground->mid_m, 7.0);
}

TEST(Ground, PartlyOutsideTheRasterIsAGapAndWhollyOutsideIsNone) {
    const auto flat = cells(kGroundGrid, [](Point) { return 1.0; });
    const auto edge = ground_along(rectangle(95, 40, 10, 4), flat);
    ASSERT_TRUE(edge);
    EXPECT_TRUE(edge->gaps);
    EXPECT_FALSE(ground_along(rectangle(195, 40, 10, 4), flat));
    EXPECT_FALSE(ground_along(rectangle(20, 40, 10, 4), cells(kGroundGrid, [](Point) { return kGap; })));
    EXPECT_FALSE(ground_along({}, flat));
}

}  // namespace
}  // namespace eaveshed
