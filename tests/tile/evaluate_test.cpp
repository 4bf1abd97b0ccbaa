#include "eaveshed/tile/evaluate.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "eaveshed/record/values.hpp"
#include "eaveshed/site/place.hpp"
#include "site/tile_samples.hpp"

namespace eaveshed {
namespace {

std::vector<Value> all_values(const RoofRows& result) {
    std::vector<Value> values;
    values_of(result.roof, values);
    return values;
}

class Evaluate : public ::testing::Test {
protected:
    Evaluate() : m_settings(two_options()), m_climate(mean_year(m_settings)) {}

    TileSite site(TileRoof roof) const {
        TileSite found;
        found.parcel = m_parcel;
        found.roofs = {std::move(roof)};
        return found;
    }
    RoofRows only(TileRoof roof) const {
        const TileRows result = evaluate_tile(tile_with({site(std::move(roof))}, m_climate), m_settings);
        EXPECT_EQ(result.roofs.size(), 1U);
        return result.roofs.at(0);
    }

    Settings m_settings;
    RoofClimate m_climate;
    TileParcel m_parcel = parcel_with_measured_use();
};

TEST_F(Evaluate, AGivenUsePointAndItsWindowAreWorkedOutByHand) {
    m_parcel.facts.set_use_point(Point{60.0, 100.0});
    const RoofRows result = only(roof_at(100, 100));
    ASSERT_TRUE(result.use_point);
    EXPECT_EQ(result.use_point->place, (Point{60.0, 100.0}));
    EXPECT_FALSE(result.use_point->assumed);
    const double use = 100.0 + 0.05 * 60.0 + 0.001 * 100.0;
    EXPECT_NEAR(result.use_point->use_elev_m.value(), use, 1e-9);
    // method.md 6.23: tap 0.6, minimum 10 + filter 5 kPa, outlet 0.1, no reserve; tank 2 m, loss 0.3 m.
    EXPECT_NEAR(result.roof.window_low_elev_m.value(), use + 0.6 + 15.0 / 9.80665 - 0.1, 1e-9);
    EXPECT_NEAR(result.roof.window_high_elev_m.value(), result.roof.eave_elev_m.value() - 2.0 - 0.3, 1e-9);
    EXPECT_FALSE(result.roof.flags.has(Flag::assumed_use_point));
}

TEST_F(Evaluate, AReserveRaisesTheWaterAndLowersTheWindow) {
    m_parcel.facts.set_use_point(Point{60.0, 100.0});
    const double without = only(roof_at(100, 100)).roof.window_low_elev_m.value();
    m_settings.storage.reserve_m3 = 1.0;
    m_settings.tanks.resize(1);  // four tanks: 19 m3 above the outlet, 1.9 m deep
    EXPECT_NEAR(only(roof_at(100, 100)).roof.window_low_elev_m.value(), without - 1.0 / 19.0 * 1.9, 1e-9);
}

// Six cell centres in the parcel: x = 81, 83, 85 and y = 105, 107; the ground rises to the east, a little to the north.
TEST_F(Evaluate, AnAssumedUsePointIsTheMiddleOfTheGarden) {
    m_parcel.outline = testing::rectangle(80.0, 104.0, 6.0, 4.0);
    const auto assumed_at = [&](double percentile) {
        m_settings.siting.garden_percentile = percentile;
        const RoofRows result = only(roof_at(100, 100));
        EXPECT_TRUE(result.use_point && result.use_point->assumed);
        EXPECT_TRUE(result.roof.flags.has(Flag::assumed_use_point));
        EXPECT_NEAR(result.use_point->use_elev_m.value(), ground_m(result.use_point->place), 1e-9);
        return result.use_point->place;
    };
    EXPECT_EQ(assumed_at(50.0), (Point{83.0, 105.0}));   // ceil(3) = third
    EXPECT_EQ(assumed_at(51.0), (Point{83.0, 107.0}));   // ceil(3.06) = fourth
    EXPECT_EQ(assumed_at(0.0), (Point{81.0, 105.0}));    // at least the first
    EXPECT_EQ(assumed_at(100.0), (Point{85.0, 107.0}));  // the last
}

TEST_F(Evaluate, AUsePointWithoutElevationIsReplacedByTheGarden) {
    m_parcel.facts.set_use_point(Point{-500.0, 100.0});
    m_parcel.outline = testing::rectangle(80.0, 104.0, 6.0, 4.0);
    const RoofRows result = only(roof_at(100, 100));
    ASSERT_TRUE(result.use_point);
    EXPECT_TRUE(result.use_point->assumed);
}

TEST_F(Evaluate, WithoutAnyGardenThereIsNoUsePoint) {
    m_parcel.outline = testing::rectangle(100.0, 100.0, 10.0, 10.0);  // all of it under the roof
    const RoofRows result = only(roof_at(100, 100));
    EXPECT_FALSE(result.use_point);
    EXPECT_EQ(result.roof.delivery, Delivery::no_pad);
    EXPECT_EQ(result.roof.no_pad_reason, PadReason::no_use_point);
    EXPECT_FALSE(result.roof.window_low_elev_m);
    EXPECT_EQ(result.roof.storage_m3, 20.0);  // the recommended storage's fields stay
}

TEST_F(Evaluate, WithoutElevationsTheWaterIsStillComputed) {
    TileRoof roof = roof_at(100, 100);
    roof.outline = {};
    const RoofRows result = only(roof);
    EXPECT_EQ(result.roof.status, Status::ok);
    EXPECT_TRUE(result.roof.flags.has(Flag::no_elevation));
    EXPECT_EQ(result.roof.delivery, Delivery::no_pad);
    EXPECT_EQ(result.roof.no_pad_reason, PadReason::no_elevation);
    EXPECT_TRUE(result.roof.harvest_mean_m3);
    EXPECT_EQ(result.roof.storage_m3, 20.0);
    EXPECT_FALSE(result.roof.gravity_check);
}

TEST_F(Evaluate, WithoutDemandThereIsNoUseAndGroundAndEaveAreStillGiven) {
    m_parcel.facts.season_use_m3 = 0.0;
    const RoofRows result = only(roof_at(100, 100));
    EXPECT_EQ(result.roof.delivery, Delivery::no_use);
    EXPECT_TRUE(result.roof.eave_elev_m);
    for (const auto& empty : {result.roof.storage_m3, result.roof.usable_m3, result.roof.window_low_elev_m,
                              result.roof.window_high_elev_m, result.roof.pad_elev_m, result.roof.replaced_mean_m3}) {
        EXPECT_FALSE(empty);
    }
    EXPECT_FALSE(result.roof.limited_by);
    EXPECT_FALSE(result.roof.no_pad_reason);
}

TEST_F(Evaluate, RoofsThatThePlanSetAsideKeepStatusFlagsAndArea) {
    for (const Status status : {Status::bad_geometry, Status::duplicate, Status::too_small}) {
        TileRoof roof = roof_at(100, 100, 7);
        roof.status = status;
        roof.flags.add(Flag::repaired);
        const RoofRows result = only(roof);
        RoofRows expected;
        expected.roof.status = status;
        expected.roof.flags.add(Flag::repaired);
        expected.roof.plan_area_m2 = 100.0;
        EXPECT_EQ(result.ordinal, 7U);
        EXPECT_EQ(all_values(result), all_values(expected));
        EXPECT_TRUE(result.curve.empty());
    }
}

TEST_F(Evaluate, ARoofWithoutRainSaysSo) {
    TileRoof roof = roof_at(100, 100);
    roof.climate_place.rain = Point{1e6, 0.0};
    const RoofRows result = only(roof);
    RoofRows expected;
    expected.roof.status = Status::no_rain;
    expected.roof.plan_area_m2 = 100.0;
    EXPECT_EQ(all_values(result), all_values(expected));
}

TEST_F(Evaluate, ADamagedBlockUnderTheRoofIsTold) {
    TileInput tile = tile_with({site(roof_at(100, 100))}, m_climate);
    SparseRaster damaged(kGround);
    const CellRange range = damaged.block_range({0, 0});
    damaged.put_block({0, 0}, tile.terrain.patch(range).values, true);
    tile.terrain = damaged;
    EXPECT_TRUE(evaluate_tile(tile, m_settings).roofs.at(0).roof.flags.has(Flag::read_error));
    EXPECT_FALSE(only(roof_at(100, 100)).roof.flags.has(Flag::read_error));
}

TEST_F(Evaluate, RowsComeInTheOrderOfTheInputAndDoNotHangOnTheTile) {
    const TileSite a = site(roof_at(20, 20, 5));
    const TileSite b = site(roof_at(160, 160, 2));
    const TileRows both = evaluate_tile(tile_with({a, b}, m_climate), m_settings);
    ASSERT_EQ(both.roofs.size(), 2U);
    EXPECT_EQ(both.roofs[0].ordinal, 2U);
    EXPECT_EQ(both.roofs[1].ordinal, 5U);
    const TileRows turned = evaluate_tile(tile_with({b, a}, m_climate), m_settings);
    const TileRows alone = evaluate_tile(tile_with({a}, m_climate), m_settings);
    EXPECT_EQ(all_values(both.roofs[1]), all_values(turned.roofs[1]));
    EXPECT_EQ(all_values(both.roofs[0]), all_values(turned.roofs[0]));
    // The other is too far to matter, so it is as if it were not there.
    EXPECT_EQ(all_values(both.roofs[1]), all_values(alone.roofs[0]));
    EXPECT_EQ(both.roofs[1].use_point->place, alone.roofs[0].use_point->place);
}

TEST_F(Evaluate, RoofsOfOneParcelShareItsDemand) {
    TileSite two = site(roof_at(100, 100, 0));
    two.roofs.push_back(roof_at(130, 100, 1));
    const TileRows result = evaluate_tile(tile_with({two}, m_climate), m_settings);
    ASSERT_EQ(result.roofs.size(), 2U);
    for (const RoofRows& roof : result.roofs) {
        EXPECT_NEAR(roof.roof.demand_m3.value(), 9.2, 1e-12);  // the whole parcel's on each row
    }
}

// Only the blocks that terrain_needed names are there, wherever the roof lies between their edges: asking for a cell of
// another block is a broken invariant.
TEST(EvaluateTile, AsksForNoCellThatItDoesNotSayItNeeds) {
    const Settings settings = two_options();
    const RoofClimate climate = mean_year(settings);
    const Grid grid{.x_min = 0.0, .y_max = 640.0, .cell_width = 1.0, .cell_height = 1.0, .rows = 640, .cols = 640};
    const SparseRaster whole = testing::cells(grid, ground_m);
    std::size_t pads = 0;
    for (int offset = 0; offset < 128; offset += 1) {
        SCOPED_TRACE(offset);
        const TileRoof roof = roof_at(250.0 + offset, 250.0 + offset);
        TileParcel parcel = parcel_with_measured_use();
        parcel.outline = testing::rectangle(200.0 + offset, 180.0 + offset, 150.0, 150.0);
        for (const bool with_parcel : {false, true}) {
            TileInput tile = tile_with({{with_parcel ? std::optional(parcel) : std::nullopt, {roof}}}, climate);
            tile.terrain = SparseRaster(grid);
            for (const CellRange& range : terrain_needed(roof, nullptr, grid, tile.metric, settings)) {
                for (const Cell block : tile.terrain.missing_blocks(range)) {
                    tile.terrain.put_block(block, whole.patch(tile.terrain.block_range(block)).values, false);
                }
            }
            EXPECT_LT(tile.terrain.block_count(), 25U);
            pads += evaluate_tile(tile, settings).roofs.at(0).pad ? 1U : 0U;
        }
    }
    EXPECT_GT(pads, 200U);
}

}  // namespace
}  // namespace eaveshed
