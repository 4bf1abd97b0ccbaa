// method.md 7.14: accumulation.
#include "eaveshed/flow/accumulation.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <numeric>

#include "eaveshed/core/error.hpp"
#include "eaveshed/flow/fill.hpp"
#include "flow/ground.hpp"

namespace eaveshed {
namespace {

using testing::drawn_ways;
using ::testing::ElementsAreArray;
using testing::RandomNumbers;

// R7.4: the directions and what they come to, without the cell itself (read; one suite prints 34 at the outlet, where
// the mass balance needs 35).
TEST(Accumulation, IsThatOfThePublishedGrid) {
    const FlowDirections directions = drawn_ways({"111223", "111223", "001232", "770123", "110222", "000084"});
    const std::vector<int> published{0, 0, 0, 0,  0,  0,  //
                                     0, 1, 1, 2,  2,  0,  //
                                     0, 3, 7, 5,  4,  0,  //
                                     0, 0, 0, 20, 0,  1,  //
                                     0, 0, 0, 1,  24, 0,  //
                                     0, 2, 4, 7,  35, 1};
    std::vector<int> others;
    for (const std::uint32_t cells : accumulate(directions).cells) {
        others.push_back(static_cast<int>(cells) - 1);
    }
    EXPECT_THAT(others, ElementsAreArray(published));
}

TEST(Accumulation, CountsAGapAsNothing) {
    const Accumulation found = accumulate(drawn_ways({"0892", "0008"}, 2.0, 3.0));
    EXPECT_THAT(found.cells, ElementsAreArray({1, 2, 0, 1, 1, 2, 3, 5}));
    EXPECT_EQ(found.area_at(7), 30.0);
    EXPECT_EQ(found.area_at(2), 0.0);
}

TEST(Accumulation, AddsTheAreasOfRowsThatDiffer) {
    FlowDirections directions = drawn_ways({"22", "22", "88"});
    directions.sides = {{1.0, 2.0, 3.0}, {10.0, 10.0, 5.0}};
    const Accumulation found = accumulate(directions);
    EXPECT_THAT(found.cells, ElementsAreArray({1, 1, 2, 2, 3, 3}));
    EXPECT_THAT(found.area_m2, ElementsAreArray({10.0, 10.0, 30.0, 30.0, 45.0, 45.0}));
    EXPECT_EQ(found.area_at(5), 45.0);
}

TEST(Accumulation, RefusesDirectionsThatLeadNowhere) {
    EXPECT_THROW(static_cast<void>(accumulate(drawn_ways({"048"}))), Error);  // round and round
    EXPECT_THROW(static_cast<void>(accumulate(drawn_ways({"09"}))), Error);   // into a gap
    EXPECT_THROW(static_cast<void>(accumulate(drawn_ways({"88", "22"}))), Error);
}

// Every cell walks to its outlet and leaves its mark in each cell on the way.
TEST(Accumulation, IsWhatWalksThroughEachCell) {
    RandomNumbers random(8);
    for (int i = 0; i < 300; ++i) {
        Surface<float> surface = testing::random_ground<float>(random, 9, i % 2 == 0 ? 0.05 : 0.0);
        fill_depressions(surface);
        RowSides sides = sides_in_plane(surface.grid, 1.0);
        if (i % 3 == 0) {
            for (double& width_m : sides.width_m) {
                width_m = random.whole(1, 9);  // whole areas add without rounding
            }
        }
        const FlowDirections directions = flow_directions(surface, sides);
        std::pmr::vector<std::uint32_t> cells(surface.elev_m.size(), 0);
        std::vector<double> area_m2(surface.elev_m.size(), 0.0);
        double all_m2 = 0.0;
        for (CellNumber start = 0; start < cells.size(); ++start) {
            if (directions.ways[start] == kNoGround) {
                continue;
            }
            const double own_m2 = sides.area_m2(start / surface.grid.cols);
            all_m2 += own_m2;
            for (std::optional<CellNumber> cell = start; cell; cell = directions.downstream(*cell)) {
                ++cells[*cell];
                area_m2[*cell] += own_m2;
            }
        }
        const Accumulation found = accumulate(directions);
        EXPECT_EQ(found.cells, cells);
        double left_m2 = 0.0;
        for (CellNumber cell = 0; cell < cells.size(); ++cell) {
            EXPECT_EQ(found.area_at(cell), area_m2[cell]);
            left_m2 += directions.ways[cell] == kFlowsOut ? found.area_at(cell) : 0.0;
        }
        EXPECT_EQ(left_m2, all_m2);
    }
}

}  // namespace
}  // namespace eaveshed
