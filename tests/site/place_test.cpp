#include "eaveshed/site/place.hpp"

#include <gtest/gtest.h>

#include <limits>

#include "eaveshed/shape/ellipsoid.hpp"
#include "site/tile_samples.hpp"

namespace eaveshed {
namespace {

class PlaceOf : public ::testing::Test {
protected:
    PlaceOf() : m_climate(mean_year(m_settings)) {}
    std::optional<Eave> eave(const TileInput& tile) {
        m_result = {};
        return evaluate_eave(m_roof, tile, rules_from(m_settings), m_result);
    }
    Settings m_settings;
    RoofClimate m_climate;
    TileRoof m_roof = roof_at(100, 100);
    RoofRows m_result;
};

// Samples each metre round the square: as many west of x = 105 as east of it, and the same to the north.
TEST_F(PlaceOf, GroundAndEaveAreWorkedOutByHand) {
    const auto found = eave(tile_with({}, m_climate));
    ASSERT_TRUE(found);
    EXPECT_NEAR(m_result.roof.ground_elev_m.value(), 100.0 + 0.05 * 105.0 + 0.001 * 105.0, 0.005);
    EXPECT_NEAR(m_result.roof.eave_elev_m.value(), m_result.roof.ground_elev_m.value() + 3.0, 1e-12);
    EXPECT_EQ(found->elev_m, m_result.roof.eave_elev_m);
    EXPECT_EQ(found->sd_m, 0.1);  // measured height
    EXPECT_EQ(to_text(m_result.roof.flags), "");
}

TEST_F(PlaceOf, ASurfaceStandsBeforeStoreysAndInItsOwnCrs) {
    m_roof.facts.eave_height_m = std::nullopt;
    m_roof.facts.storeys = 2.0;
    TileInput tile = tile_with({}, m_climate);
    const Grid other{.x_min = 5000.0, .y_max = 5100.0, .cell_width = 1.0, .cell_height = 1.0, .rows = 100, .cols = 100};
    tile.surface = testing::cells(other, [](Point) { return 111.5; });
    EXPECT_EQ(eave(tile)->basis, EaveBasis::storeys);  // no outline in the surface's CRS
    m_roof.surface_outline = testing::rectangle(5020, 5020, 10, 10);
    EXPECT_EQ(eave(tile)->basis, EaveBasis::surface);
    EXPECT_EQ(m_result.roof.eave_elev_m, 111.5);
}

TEST_F(PlaceOf, TheStandardHeightIsTold) {
    m_roof.facts.eave_height_m = std::nullopt;
    EXPECT_EQ(eave(tile_with({}, m_climate))->basis, EaveBasis::standard_height);
    EXPECT_EQ(to_text(m_result.roof.flags), "default_eave");
    EXPECT_NEAR(*m_result.roof.eave_elev_m - *m_result.roof.ground_elev_m, 2.8, 1e-12);
}

// method.md 6.15: cells of 2 m in the samples.
TEST_F(PlaceOf, CoarseElevationsAreFlaggedByTheLargerSideOfACell) {
    m_settings.terrain.coarse_cell_m = 2.0;
    EXPECT_TRUE(eave(tile_with({}, m_climate)));
    EXPECT_EQ(to_text(m_result.roof.flags), "") << "wider than, not as wide as";
    m_settings.terrain.coarse_cell_m = 1.9;
    EXPECT_TRUE(eave(tile_with({}, m_climate)));
    EXPECT_EQ(to_text(m_result.roof.flags), "coarse_elevation");
    TileInput none = tile_with({}, m_climate);
    none.terrain = testing::cells(kGround, [](Point) { return std::numeric_limits<double>::quiet_NaN(); });
    EXPECT_FALSE(eave(none));
    EXPECT_EQ(to_text(m_result.roof.flags), "no_elevation") << "no row without an elevation has it";
}

TEST_F(PlaceOf, TheErrorOfElevationsFollowsFromTheirCellsWhereItIsNotSet) {
    TerrainSettings terrain;
    EXPECT_NEAR(elevation_rmse_m({1.0, 1.0}, terrain), 0.15, 1e-15);
    EXPECT_NEAR(elevation_rmse_m({1.4, 2.0}, terrain), 0.2, 1e-15);
    EXPECT_NEAR(elevation_rmse_m({30.0, 25.0}, terrain), 3.0, 1e-15);
    terrain.rmse_m = 0.05;
    EXPECT_EQ(elevation_rmse_m({30.0, 30.0}, terrain), 0.05);
}

TEST_F(PlaceOf, GapsAndTheWantOfAnyElevationAreTold) {
    TileInput tile = tile_with({}, m_climate);
    constexpr double kGap = std::numeric_limits<double>::quiet_NaN();
    tile.terrain = testing::cells(kGround, [](Point p) { return p.x > 105 ? kGap : ground_m(p); });
    EXPECT_TRUE(eave(tile));
    EXPECT_EQ(to_text(m_result.roof.flags), "dem_gap");
    tile.terrain = testing::cells(kGround, [](Point) { return kGap; });
    EXPECT_FALSE(eave(tile));
    EXPECT_EQ(to_text(m_result.roof.flags), "no_elevation");
    EXPECT_FALSE(m_result.roof.ground_elev_m);
    m_roof.outline = {};  // it could not be brought to the terrain's CRS
    EXPECT_FALSE(eave(tile_with({}, m_climate)));
    EXPECT_EQ(to_text(m_result.roof.flags), "no_elevation");
}

TEST_F(PlaceOf, StepsFollowFromTheSmallerCellSide) {
    // method.md 6.1, 6.6: k = max(1, floor(5 / (2 x side))), g = max(1, floor(3 / side)).
    for (const auto& [side, reach, step] :
         {std::tuple{0.5, 5, 6}, {1.0, 2, 3}, {2.0, 1, 1}, {2.5, 1, 1}, {30.0, 1, 1}}) {
        const Grid grid{
            .x_min = 0, .y_max = 3000, .cell_width = 1.5 * side, .cell_height = side, .rows = 90, .cols = 90};
        const RoofCells cells = roof_cells(m_roof, grid, {}, m_settings);
        EXPECT_EQ(cells.reach.slope, reach) << side;
        EXPECT_EQ(cells.garden_step, step) << side;
        EXPECT_NEAR(cells.garden_cell_m2(), 1.5 * side * side * step * step, 1e-9) << side;
    }
}

TEST_F(PlaceOf, DegreesAreMeasuredAtTheRoof) {
    m_roof.interior = {20.0, -34.0};
    TerrainMetric metric;
    metric.geographic = true;
    const double degree = 1.0 / 3600.0;
    const Grid grid{
        .x_min = 19.9, .y_max = -33.9, .cell_width = degree, .cell_height = degree, .rows = 720, .cols = 720};
    const RoofCells cells = roof_cells(m_roof, grid, metric, m_settings);
    const MetresPerDegree metres = metres_per_degree(-34.0, metric.ellipsoid);
    EXPECT_NEAR(cells.sides.width_m, metres.east * degree, 1e-9);
    EXPECT_NEAR(cells.sides.height_m, metres.north * degree, 1e-9);
}

TEST_F(PlaceOf, CellsWithinReachAreAskedFor) {
    const TerrainMetric metric;
    const auto ranges = terrain_needed(m_roof, nullptr, kGround, metric, m_settings);
    ASSERT_EQ(ranges.size(), 1U);
    // 60 m round 100..110 in cells of 2 m that reach to 200: columns 20 to 84, their rim and half of the longest row of
    // tanks, 15 m; rows alike.
    EXPECT_LE(ranges[0].col_begin, 19);
    EXPECT_GE(ranges[0].col_end, 86);
    EXPECT_LE(ranges[0].row_begin, 14);
    EXPECT_GE(ranges[0].row_end, 81);
    EXPECT_GE(ranges[0].col_begin, 7);
    EXPECT_LE(ranges[0].col_end, 98);
    TileParcel parcel;
    parcel.facts.set_use_point(Point{11.0, 11.0});
    const auto more = terrain_needed(m_roof, &parcel, kGround, metric, m_settings);
    ASSERT_EQ(more.size(), 2U);
    EXPECT_LE(more[1].col_begin, 5);
    EXPECT_GE(more[1].col_end, 6);
    m_roof.outline = {};
    EXPECT_TRUE(terrain_needed(m_roof, nullptr, kGround, metric, m_settings).empty());
}

TEST_F(PlaceOf, NeighboursMatterToTwiceTheReachAndObstaclesToTheirSetbacks) {
    TerrainMetric metric;
    const Box buildings = buildings_needed(m_roof, metric, m_settings);
    EXPECT_LE(buildings.x_min, 100.0 - 120.0);
    EXPECT_GE(buildings.y_max, 110.0 + 120.0);
    m_settings.exclusions.resize(1);
    m_settings.exclusions[0].setback_m = 70.0;
    const Box obstacles = obstacles_needed(m_roof, metric, m_settings);
    EXPECT_LE(obstacles.x_min, 100.0 - 60.0 - 70.0);
    EXPECT_GT(obstacle_reach_m(m_settings), 70.0);
    metric.metres_per_unit = 0.3048;
    EXPECT_LE(buildings_needed(m_roof, metric, m_settings).x_min, 100.0 - 120.0 / 0.3048);
}

}  // namespace
}  // namespace eaveshed
