#include "eaveshed/vicinity/site_terrain.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

namespace eaveshed {
namespace {

constexpr Grid kGrid{.x_min = 0.0, .y_max = 20.0, .cell_width = 1.0, .cell_height = 1.0, .rows = 20, .cols = 30};
constexpr double kEast = 0.08;    // m per m, rising
constexpr double kNorth = -0.06;  // R7.2: a tilted plane, slope 10.000 % on any cell size

SparseRaster tilted(const std::vector<Cell>& holes = {}) {
    std::vector<double> values;
    for (std::int64_t row = 0; row < kGrid.rows; ++row) {
        for (std::int64_t col = 0; col < kGrid.cols; ++col) {
            const Point centre = kGrid.centre({row, col});
            values.push_back(100.0 + kEast * centre.x + kNorth * centre.y);
        }
    }
    for (const Cell hole : holes) {
        values[static_cast<std::size_t>(hole.row * kGrid.cols + hole.col)] = std::numeric_limits<double>::quiet_NaN();
    }
    SparseRaster raster(kGrid);
    raster.put_block({0, 0}, values, false);
    return raster;
}

TEST(CellsWithin, AreThoseAroundTheBoxAndTheReachInMetres) {
    const LocalFrame feet{{0.0, 0.0}, 0.3048, 0.3048};
    const CellRange near = cells_within(kGrid, {}, {10.0, 10.0, 11.0, 11.0}, 3.0);
    const CellRange far = cells_within(kGrid, feet, {10.0, 10.0, 11.0, 11.0}, 3.0);
    EXPECT_LE(near.col_begin, 7);
    EXPECT_GE(near.col_end, 14);
    EXPECT_LT(far.col_begin, near.col_begin) << "three metres are more cells of a foot";
}

TEST(WithRim, StaysInsideTheGridAndKeepsNothingNothing) {
    EXPECT_EQ(with_rim({2, 5, 3, 6}, 4, kGrid), (CellRange{0, 9, 0, 10}));
    EXPECT_EQ(with_rim({18, 20, 28, 30}, 3, kGrid), (CellRange{15, 20, 25, 30}));
    EXPECT_TRUE(with_rim({3, 3, 0, 5}, 2, kGrid).empty());
}

TEST(SiteTerrain, GivesThePlanesSlopeOfEachCellAndOfWholeRuns) {
    const SparseRaster raster = tilted();
    const SiteTerrain terrain(raster, {}, {}, {4, 10, 4, 12}, {.slope = 2});
    EXPECT_NEAR(terrain.slope({5, 6}).value(), 0.10, 1e-12);
    std::vector<double> run(8);
    terrain.slopes(5, 4, run);
    for (std::size_t i = 0; i < run.size(); ++i) {
        EXPECT_EQ(run[i], terrain.slope({5, 4 + static_cast<std::int64_t>(i)}).value());
    }
    EXPECT_EQ(terrain.elev_m({5, 6}), raster.at(5, 6));
    EXPECT_EQ(terrain.centre({5, 6}).crs, kGrid.centre({5, 6}));
}

TEST(SiteTerrain, KnowsNoSlopeBesideAHoleNorAtTheGridsEnd) {
    const SparseRaster raster = tilted({{6, 8}});
    const SiteTerrain terrain(raster, {}, {}, {0, 20, 0, 30}, {.slope = 2});
    EXPECT_FALSE(terrain.slope({6, 8}));
    EXPECT_FALSE(terrain.slope({6, 6}));  // a neighbour two cells away
    EXPECT_TRUE(terrain.slope({6, 7}));   // one cell away is not asked
    EXPECT_FALSE(terrain.slope({1, 10}));
    std::vector<double> run(3);
    terrain.slopes(6, 6, run);
    EXPECT_TRUE(std::isnan(run[0]));
    EXPECT_FALSE(std::isnan(run[1]));
    EXPECT_TRUE(std::isnan(run[2]));
}

TEST(SiteTerrain, TellsTheLowestAndTheHighestOfTheCellsItKnows) {
    const SparseRaster raster = tilted({{6, 8}});
    const SiteTerrain terrain(raster, {}, {}, {4, 8, 4, 10}, {.slope = 1});
    ElevationRange expected;
    for (std::int64_t row = 5; row < 8; ++row) {
        for (std::int64_t col = 6; col < 9; ++col) {
            expected.add(raster.at(row, col));
        }
    }
    const ElevationRange found = terrain.elevations_m({5, 8, 6, 9});
    EXPECT_EQ(found.low_m, expected.low_m);
    EXPECT_EQ(found.high_m, expected.high_m);
    EXPECT_LT(found.low_m, found.high_m);
    const ElevationRange none = terrain.elevations_m({20, 30, 6, 9});
    EXPECT_GT(none.low_m, none.high_m);
}

TEST(SiteTerrain, OverOtherCellsSaysTheSameOfThem) {
    const SparseRaster raster = tilted();
    const SiteTerrain here(raster, {}, {}, {4, 8, 4, 8}, {.slope = 1});
    const SiteTerrain there = here.over({10, 14, 10, 20});
    EXPECT_NEAR(there.slope({12, 15}).value(), 0.10, 1e-12);
    EXPECT_EQ(there.elev_m({12, 15}), raster.at(12, 15));
}

}  // namespace
}  // namespace eaveshed
