// method.md 7.3 to 7.9, parcel systems. The ground rises to the east; gutters are 3 m high.
#include "eaveshed/parcel/parcel_system.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "eaveshed/site/evaluate_roofs.hpp"
#include "eaveshed/storage/behaviour.hpp"
#include "eaveshed/tile/evaluate.hpp"
#include "site/tile_samples.hpp"

namespace eaveshed {
namespace {

class ParcelSystem : public ::testing::Test {
protected:
    ParcelSystem() : m_settings(two_options()), m_climate(november_rains(m_settings, years())) {
        m_parcel.outline = testing::rectangle(40.0, 60.0, 120.0, 90.0);
        m_parcel.facts.season_use_m3 = 18.4;
        m_settings.siting.minimum_kpa = 1.0;
    }
    static std::vector<double> years() {
        return {90.0, 120.0, 60.0, 150.0, 200.0, 75.0, 110.0, 95.0, 130.0, 170.0, 85.0, 140.0};
    }
    TileRows run(std::vector<TileRoof> roofs) const {
        return evaluate_tile(tile_with({{m_parcel, std::move(roofs)}}, m_climate), m_settings);
    }

    Settings m_settings;
    RoofClimate m_climate;
    TileParcel m_parcel = parcel_with_measured_use();
};

TEST_F(ParcelSystem, OfOneRoofIsThatRoofsOwn) {
    const TileRows result = run({roof_at(100, 100)});
    ASSERT_EQ(result.parcels.size(), 1U);
    const ParcelRow& parcel = result.parcels[0].parcel;
    const RoofRow& roof = result.roofs[0].roof;
    EXPECT_EQ(parcel.parcel_status, ParcelStatus::ok);
    EXPECT_EQ(parcel.storage_m3, roof.storage_m3);
    EXPECT_EQ(parcel.forbearance_m3, roof.forbearance_m3);
    EXPECT_EQ(parcel.instream_gain_lps, roof.instream_gain_lps);
    EXPECT_EQ(parcel.harvest_dependable_m3, roof.harvest_dependable_m3);
    EXPECT_EQ(parcel.overflow_mean_m3, roof.overflow_mean_m3);
    EXPECT_EQ(parcel.delivery, roof.delivery);
    EXPECT_EQ(parcel.limited_by, roof.limited_by);
    EXPECT_EQ(parcel.flags, roof.flags);
    EXPECT_DOUBLE_EQ(parcel.forbearance_term_m3.value(), 20.0 * roof.forbearance_m3.value());
    ASSERT_TRUE(result.parcels[0].pad && result.roofs[0].pad);
    EXPECT_EQ(result.parcels[0].pad->place, result.roofs[0].pad->place);
    EXPECT_EQ(result.parcels[0].pad->level, PadLevel::parcel);
    EXPECT_TRUE(result.roofs[0].connected);
}

// Two halves of one house: together they are the house.
TEST_F(ParcelSystem, TwoRoofsTogetherAreOneOfTheirArea) {
    TileRoof west = roof_at(100, 100, 0);
    TileRoof east = roof_at(110, 100, 1);
    east.climate_place.rain = west.climate_place.rain;
    west.facts.eave_height_m = 3.9;  // its ground is 0.5 m lower: both gutters are about level
    east.facts.eave_height_m = 3.4;
    TileRoof whole = roof_at(100, 100, 0);
    whole.plan_area_m2 = 200.0;
    const TileRows two = run({west, east});
    const TileRows one = run({whole});
    const ParcelRow& parcel = two.parcels[0].parcel;
    ASSERT_TRUE(two.roofs[0].connected && two.roofs[1].connected);
    EXPECT_DOUBLE_EQ(parcel.plan_area_m2.value(), 200.0);
    const RoofRow& house = one.roofs[0].roof;
    EXPECT_NEAR(parcel.harvest_mean_m3.value(), house.harvest_mean_m3.value(), 1e-9);
    EXPECT_NEAR(parcel.harvest_dependable_m3.value(), house.harvest_dependable_m3.value(), 1e-9);
    EXPECT_EQ(parcel.storage_m3, house.storage_m3);
    EXPECT_NEAR(parcel.replaced_mean_m3.value(), house.replaced_mean_m3.value(), 1e-9);
    EXPECT_NEAR(parcel.forbearance_m3.value(), house.forbearance_m3.value(), 1e-9);
    EXPECT_NEAR(parcel.overflow_mean_m3.value(), house.overflow_mean_m3.value(), 1e-9);
    // More than either alone.
    EXPECT_GT(parcel.forbearance_m3.value(), two.roofs[0].roof.forbearance_m3.value());
    EXPECT_GT(parcel.forbearance_m3.value(), two.roofs[1].roof.forbearance_m3.value());
}

TEST_F(ParcelSystem, SumsAreThoseOfTheRoofs) {
    TileRoof far = roof_at(50, 70, 2);
    far.facts.eave_height_m = 0.5;
    const TileRows result = run({roof_at(100, 100, 0), roof_at(114, 100, 1), far});
    const ParcelRow& parcel = result.parcels[0].parcel;
    double area = 0.0;
    double harvest = 0.0;
    double connected_area = 0.0;
    double connected_harvest = 0.0;
    for (const RoofRows& roof : result.roofs) {
        area += roof.roof.plan_area_m2.value();
        harvest += roof.roof.harvest_mean_m3.value();
        connected_area += roof.connected ? roof.roof.plan_area_m2.value() : 0.0;
        connected_harvest += roof.connected ? roof.roof.harvest_mean_m3.value() : 0.0;
    }
    EXPECT_NEAR(parcel.roofs_area_m2.value(), area, 1e-9);
    EXPECT_NEAR(parcel.roofs_harvest_mean_m3.value(), harvest, 1e-9);
    EXPECT_NEAR(parcel.plan_area_m2.value(), connected_area, 1e-9);
    EXPECT_NEAR(parcel.harvest_mean_m3.value(), connected_harvest, 1e-9);
    EXPECT_FALSE(result.roofs[2].connected);  // its gutter is far below
    EXPECT_LT(connected_area, area);
}

TEST_F(ParcelSystem, ARoofWhoseGutterIsTooLowIsLeftOut) {
    TileRoof low = roof_at(86, 100, 1);
    low.facts.eave_height_m = 0.4;
    const TileRows result = run({roof_at(100, 100, 0), low});
    EXPECT_TRUE(result.roofs[0].connected);
    EXPECT_FALSE(result.roofs[1].connected);
    EXPECT_EQ(result.parcels[0].parcel.forbearance_m3, result.roofs[0].roof.forbearance_m3);
}

TEST_F(ParcelSystem, OrderOfTheRoofsChangesNothingButTies) {
    TileRoof a = roof_at(100, 100, 0);
    TileRoof b = roof_at(114, 80, 1);
    b.plan_area_m2 = 60.0;
    const TileRows ab = run({a, b});
    a.ordinal = 1;
    b.ordinal = 0;
    const TileRows ba = run({b, a});
    EXPECT_EQ(ab.parcels[0].pad->place, ba.parcels[0].pad->place);
    EXPECT_NEAR(ab.parcels[0].parcel.forbearance_m3.value(), ba.parcels[0].parcel.forbearance_m3.value(), 1e-9);
    EXPECT_EQ(ab.parcels[0].parcel.storage_m3, ba.parcels[0].parcel.storage_m3);
    EXPECT_EQ(ab.parcels[0].parcel.delivery, ba.parcels[0].parcel.delivery);
    EXPECT_EQ(ab.parcels[0].parcel.flags, ba.parcels[0].parcel.flags);
}

TEST_F(ParcelSystem, StandsAtAMeasuredPadWhereOneOfItsRoofsHasOne) {
    m_settings.storage.marginal_yield = 0.0;  // a large tank, which the setback keeps away
    const std::vector<TileRoof> roofs{roof_at(60, 100, 0), roof_at(130, 100, 1)};
    const TileRows free = run(roofs);
    const std::uint64_t better = free.parcels[0].pad_roof;
    ASSERT_TRUE(free.parcels[0].pad);
    std::vector<TileRoof> measured = roofs;
    // At the other roof, nearer to it than the setback, and not in the middle of a cell.
    TileRoof& other = measured.at(1 - better);
    other.facts.set_pad_place({other.interior.x + 0.3, other.interior.y - 7.4});
    const TileRows result = run(measured);
    ASSERT_TRUE(result.parcels[0].pad);
    EXPECT_EQ(result.parcels[0].pad_roof, other.ordinal);
    EXPECT_EQ(result.parcels[0].pad->place, kGround.centre(kGround.cell_at(*other.facts.pad_place()).value()));
    EXPECT_EQ(result.parcels[0].pad->waived_rule, PadReason::building_setback);
    // The roof itself has the same place; the other one is sited as before.
    EXPECT_EQ(result.roofs.at(1 - better).pad->place, result.parcels[0].pad->place);
    EXPECT_EQ(result.roofs.at(better).pad->place, free.roofs.at(better).pad->place);
    EXPECT_FALSE(result.roofs.at(better).pad->waived_rule);
}

TEST_F(ParcelSystem, WithoutAnyPadAllRoofsCountTogetherAndTheReasonIsTold) {
    m_settings.siting.max_slope_pct = 0.0;
    const TileRows result = run({roof_at(100, 100, 0), roof_at(114, 100, 1)});
    const ParcelRow& parcel = result.parcels[0].parcel;
    EXPECT_FALSE(result.parcels[0].pad.has_value());
    EXPECT_EQ(parcel.delivery, Delivery::no_pad);
    EXPECT_EQ(parcel.no_pad_reason, PadReason::slope);
    EXPECT_DOUBLE_EQ(parcel.plan_area_m2.value(), 200.0);
    EXPECT_GT(parcel.forbearance_m3.value(), 0.0);
    EXPECT_EQ(parcel.pad_elev_m, std::nullopt);
    EXPECT_EQ(parcel.cost, std::nullopt);
    EXPECT_TRUE(result.roofs[0].connected && result.roofs[1].connected);
}

TEST_F(ParcelSystem, WithoutAComputedRoofTheRowSaysSo) {
    TileRoof small = roof_at(100, 100);
    small.status = Status::too_small;
    const ParcelRow parcel = run({small}).parcels.at(0).parcel;
    EXPECT_EQ(parcel.parcel_status, ParcelStatus::no_computed_roofs);
    EXPECT_EQ(parcel.forbearance_m3, std::nullopt);
    EXPECT_EQ(parcel.delivery, std::nullopt);
}

TEST_F(ParcelSystem, WithoutAnyTakeThereIsNoUse) {
    m_parcel.facts.season_use_m3 = 0.0;
    const ParcelRow parcel = run({roof_at(100, 100, 0), roof_at(114, 100, 1)}).parcels.at(0).parcel;
    EXPECT_EQ(parcel.delivery, Delivery::no_use);
    EXPECT_EQ(parcel.storage_m3, std::nullopt);
    EXPECT_EQ(parcel.demand_m3, 0.0);
}

TEST_F(ParcelSystem, StorageThatIsThereNeedNotBeBought) {
    m_settings.tanks = {{.volume_m3 = 10.0, .diameter_m = 2.4, .height_m = 2.0, .count = 1, .cost = 3000.0}};
    m_settings.cost = {.pad = 500.0, .pipe_per_m = 10.0, .pump = 700.0, .currency = "EUR"};
    const ParcelRow without = run({roof_at(100, 100)}).parcels.at(0).parcel;
    ASSERT_TRUE(without.cost);
    const double pipes = 10.0 * (without.fill_distance_m.value() + without.pipe_m.value());
    const double pump = without.delivery == Delivery::low_pressure ? 0.0 : 700.0;
    EXPECT_NEAR(without.cost.value(), 3000.0 + 500.0 + pipes + pump, 1e-9);
    EXPECT_EQ(without.added_forbearance_m3, without.forbearance_m3);
    EXPECT_EQ(without.added_gain_lps, without.instream_gain_lps);
    EXPECT_NEAR(without.cost_per_m3.value(), without.cost.value() / without.forbearance_m3.value(), 1e-9);
    m_parcel.facts.existing_storage_m3 = 4.0;
    const ParcelRow with = run({roof_at(100, 100)}).parcels.at(0).parcel;
    EXPECT_DOUBLE_EQ(with.new_storage_m3.value(), 6.0);
    EXPECT_NEAR(with.cost.value(), without.cost.value() - 1200.0, 1e-9);
    EXPECT_LT(with.added_forbearance_m3.value(), without.added_forbearance_m3.value());
    EXPECT_NEAR(with.cost_per_m3.value(), with.cost.value() / with.added_forbearance_m3.value(), 1e-9);
    m_parcel.facts.existing_storage_m3 = 50.0;
    const ParcelRow all_there = run({roof_at(100, 100)}).parcels.at(0).parcel;
    EXPECT_EQ(all_there.new_storage_m3, 0.0);
    EXPECT_NEAR(all_there.cost.value(), without.cost.value() - 3500.0, 1e-9);
    EXPECT_EQ(all_there.added_forbearance_m3, 0.0);
    EXPECT_EQ(all_there.cost_per_m3, std::nullopt);
}

// Usable 9.5 m3 against a dependable harvest: what a roof does not fill.
TEST_F(ParcelSystem, TopUpIsWhatTheDependableHarvestDoesNotFill) {
    m_settings.tanks = {{.volume_m3 = 10.0, .diameter_m = 2.4, .height_m = 2.0, .count = 1, .cost = {}}};
    TileRoof roof = roof_at(100, 100);
    const ParcelRow large = run({roof}).parcels.at(0).parcel;
    EXPECT_NEAR(large.top_up_m3.value(), std::max(0.0, 9.5 - large.harvest_dependable_m3.value()), 1e-12);
    roof.plan_area_m2 = 20.0;
    const ParcelRow small = run({roof}).parcels.at(0).parcel;
    EXPECT_GT(small.top_up_m3.value(), 0.0);
    EXPECT_NEAR(small.top_up_m3.value(), 9.5 - small.harvest_dependable_m3.value(), 1e-12);
}

// What is there already is run through the same years by itself: its volume is usable as it stands.
TEST_F(ParcelSystem, AddsWhatTheStorageThatIsThereDoesNotReplace) {
    m_settings.tanks.resize(1);  // 4 x 5 m3
    const TileRows without = run({roof_at(100, 100)});
    const ParcelRow& whole = without.parcels.at(0).parcel;
    double before = whole.forbearance_m3.value();
    for (double existing_m3 = 0.0; existing_m3 < 30.0; existing_m3 += 1.7) {
        m_parcel.facts.existing_storage_m3 = existing_m3;
        const ParcelRow row = run({roof_at(100, 100)}).parcels.at(0).parcel;
        EXPECT_EQ(row.forbearance_m3, whole.forbearance_m3);  // whole, whatever is there
        EXPECT_EQ(row.instream_gain_lps, whole.instream_gain_lps);
        const auto& climate = m_climate;
        const ComputedRoof roof =
            evaluate_roof(roof_at(100, 100), &m_parcel, tile_with({}, climate), rules_from(m_settings));
        const auto by_hand = run_store(climate.timeline(), roof.water.record.counted,
                                       roof.water.record.series.inflow_m3, roof.water.record.series.demand_m3,
                                       {std::max(existing_m3, 1e-9), 0.0}, StoreRule::after_spillage);
        const double alone_m3 = behaviour(by_hand, m_settings.storage.reliability).forbearance_m3();
        EXPECT_NEAR(row.added_forbearance_m3.value(), std::max(0.0, *whole.forbearance_m3 - alone_m3), 1e-6);
        EXPECT_NEAR(row.added_gain_lps.value(), *row.added_forbearance_m3 * 1000.0 / (86400.0 * 92.0), 1e-12);
        // More that is there never leaves more to be added.
        EXPECT_LE(row.added_forbearance_m3.value(), before);
        before = row.added_forbearance_m3.value();
    }
    EXPECT_EQ(before, 0.0);
    m_parcel.facts.existing_storage_m3 = -3.0;  // unknown
    EXPECT_EQ(run({roof_at(100, 100)}).parcels.at(0).parcel.added_forbearance_m3, whole.forbearance_m3);
}

TEST_F(ParcelSystem, WhatIsThereKeepsTheSameReserve) {
    m_settings.tanks.resize(1);
    m_settings.storage.reserve_m3 = 4.0;
    const ParcelRow without = run({roof_at(100, 100)}).parcels.at(0).parcel;
    m_parcel.facts.existing_storage_m3 = 4.0;  // all of it reserve
    EXPECT_EQ(run({roof_at(100, 100)}).parcels.at(0).parcel.added_forbearance_m3, without.forbearance_m3);
    m_parcel.facts.existing_storage_m3 = 6.0;
    EXPECT_LT(run({roof_at(100, 100)}).parcels.at(0).parcel.added_forbearance_m3, without.forbearance_m3);
}

// Rain as november_rains has it, at two places: the cells' centres. NaN: that year's November is missing.
struct TwoRains {
    static constexpr Point kWest{-10000.0, 0.0};
    static constexpr Point kEast{10000.0, 0.0};

    static RoofClimate climate(const Settings& settings, const std::vector<double>& west,
                               const std::vector<double>& east) {
        const RoofClimate first = november_rains(settings, west);
        StepField field;
        field.grid = {.x_min = -2e4, .y_max = 1e4, .cell_width = 2e4, .cell_height = 2e4, .rows = 1, .cols = 2};
        field.window = {0, 1, 0, 2};
        field.steps = 12 * west.size();
        for (const std::vector<double>* rain : {&west, &east}) {
            for (const double depth : *rain) {
                field.values.push_back(depth);
                field.values.insert(field.values.end(), 11, 0.0);
            }
        }
        return climate_of(first.record(), std::move(field));
    }
};

// `count` years of rain from the year `first` on, of 12; the others are missing.
std::vector<double> rain_in(std::size_t first, std::size_t count) {
    std::vector<double> rain(12, std::numeric_limits<double>::quiet_NaN());
    for (std::size_t year = first; year < first + count; ++year) {
        rain[year] = 100.0 + 10.0 * static_cast<double>(year % 5);
    }
    return rain;
}

class ParcelYears : public ::testing::Test {
protected:
    ParcelYears() {
        m_settings.siting.minimum_kpa = 1.0;
        m_parcel.outline = testing::rectangle(40.0, 60.0, 120.0, 90.0);
        m_west.climate_place.rain = TwoRains::kWest;
        m_east.climate_place.rain = TwoRains::kEast;
    }
    TileRows run(const std::vector<double>& west, const std::vector<double>& east) const {
        const RoofClimate climate = TwoRains::climate(m_settings, west, east);
        return evaluate_tile(tile_with({{m_parcel, {m_west, m_east}}}, climate), m_settings);
    }
    Settings m_settings = two_options();
    TileParcel m_parcel = parcel_with_measured_use();
    TileRoof m_west = roof_at(100, 100, 0);
    TileRoof m_east = roof_at(114, 100, 1);
};

TEST_F(ParcelYears, ARoofThatWouldLeaveNoCommonYearIsNotConnected) {
    const TileRows together = run(rain_in(0, 7), rain_in(6, 6));
    ASSERT_TRUE(together.roofs[0].connected && together.roofs[1].connected);  // the seventh year is common
    const TileRows apart = run(rain_in(0, 6), rain_in(6, 6));
    ASSERT_TRUE(apart.parcels.at(0).pad);
    const std::uint64_t own = apart.parcels[0].pad_roof;
    EXPECT_TRUE(apart.roofs.at(own).connected);
    EXPECT_FALSE(apart.roofs.at(1 - own).connected);
    EXPECT_EQ(apart.parcels[0].parcel.forbearance_m3, apart.roofs.at(own).roof.forbearance_m3);
    EXPECT_EQ(apart.parcels[0].parcel.storage_m3, apart.roofs.at(own).roof.storage_m3);
    // Without a pad the first roof stands for itself.
    m_settings.siting.max_slope_pct = 0.0;
    const TileRows nowhere = run(rain_in(0, 6), rain_in(6, 6));
    EXPECT_EQ(nowhere.parcels.at(0).parcel.delivery, Delivery::no_pad);
    EXPECT_TRUE(nowhere.roofs[0].connected);
    EXPECT_FALSE(nowhere.roofs[1].connected);
    EXPECT_EQ(nowhere.parcels[0].parcel.forbearance_m3, nowhere.roofs[0].roof.forbearance_m3);
}

// Ten years count for each roof, eight for both.
TEST_F(ParcelYears, TheParcelsRecordMayBeShortWhereItsRoofsAreNot) {
    const TileRows result = run(rain_in(0, 10), rain_in(2, 10));
    ASSERT_TRUE(result.roofs[0].connected && result.roofs[1].connected);
    EXPECT_FALSE(result.roofs[0].roof.flags.has(Flag::short_record));
    EXPECT_FALSE(result.roofs[1].roof.flags.has(Flag::short_record));
    EXPECT_TRUE(result.parcels.at(0).parcel.flags.has(Flag::short_record));
}

// One tank that is too tall for its width stands at each roof by itself; together they fill four lower ones.
TEST_F(ParcelSystem, PermitAndSmallerStorageAreTheParcelsOwn) {
    m_settings.tanks = {{.volume_m3 = 5.0, .diameter_m = 1.2, .height_m = 2.6, .count = 1, .cost = {}},
                        {.volume_m3 = 5.0, .diameter_m = 1.8, .height_m = 2.0, .count = 4, .cost = {}}};
    m_settings.siting.minimum_kpa = -30.0;
    m_settings.storage.marginal_yield = 0.0;  // what four tanks replace more is worth them
    TileRoof a = roof_at(100, 100, 0);
    TileRoof b = roof_at(114, 100, 1);
    a.plan_area_m2 = b.plan_area_m2 = 50.0;
    const TileRows result = run({a, b});
    ASSERT_TRUE(result.roofs[0].connected && result.roofs[1].connected);
    ASSERT_EQ(result.roofs[0].roof.storage_m3, 5.0);
    ASSERT_EQ(result.parcels.at(0).parcel.storage_m3, 20.0);
    EXPECT_TRUE(result.roofs[0].roof.flags.has(Flag::check_permit));
    EXPECT_FALSE(result.parcels[0].parcel.flags.has(Flag::check_permit));
}

TEST(SystemCost, PaysTheGroundOfEveryTankThatIsNotThere) {
    const StorageOption five{.tank = {.volume_m3 = 10.0, .diameter_m = 2.4, .height_m = 2.0, .count = 5, .cost = 900.0},
                             .nominal_m3 = 50.0,
                             .usable_m3 = 47.5};
    const CostSettings prices{.pad = 100.0, .pipe_per_m = 2.0, .pump = 70.0, .currency = ""};
    const auto cost = [&](std::optional<double> existing_m3, double row_pipe_m, Delivery delivery) {
        ParcelRow row;
        row.existing_storage_m3 = existing_m3;
        row.fill_distance_m = 7.0;
        Pad pad;
        pad.feed.pipe_m = 30.0;
        pad.row_span_m = row_pipe_m;
        pad.rank.fill = delivery == Delivery::pumped_fill ? FillClass::lifted : FillClass::sure;
        pad.rank.feed = delivery == Delivery::gravity        ? FeedClass::gravity
                        : delivery == Delivery::low_pressure ? FeedClass::low
                                                             : FeedClass::pumped;
        return cost_lines(system_parts(five, pad, row), prices).value();
    };
    EXPECT_EQ(cost({}, 0.0, Delivery::gravity).total(), 900.0 + 500.0 + 2.0 * 37.0);
    EXPECT_EQ(cost({}, 10.8, Delivery::gravity).pipes, 2.0 * 47.8);
    EXPECT_EQ(cost(20.0, 0.0, Delivery::gravity).pad, 300.0);
    EXPECT_EQ(cost(20.0, 0.0, Delivery::gravity).tanks, 540.0);
    EXPECT_EQ(cost(21.0, 0.0, Delivery::gravity).pad, 300.0);         // 2.9 tanks are three
    EXPECT_EQ(cost(20.0 - 1e-9, 0.0, Delivery::gravity).pad, 300.0);  // what rounding leaves is no fourth
    EXPECT_EQ(cost(50.0, 0.0, Delivery::gravity).pad, 0.0);
    EXPECT_EQ(cost(80.0, 0.0, Delivery::gravity).pad, 0.0);
    EXPECT_EQ(cost({}, 0.0, Delivery::low_pressure).pump, 0.0);
    EXPECT_EQ(cost({}, 0.0, Delivery::pumped_feed).pump, 70.0);
    EXPECT_EQ(cost({}, 0.0, Delivery::pumped_fill).pump, 70.0);
}

TEST(SystemCost, IsUnknownWhereAPriceIsMissing) {
    const CostSettings prices{.pad = 500.0, .pipe_per_m = 10.0, .pump = std::nullopt, .currency = ""};
    const auto total = [&](std::optional<double> tank_cost, bool pump) -> std::optional<double> {
        const auto lines = cost_lines({.tank_cost = tank_cost, .feed_pipe_m = 3.0, .pump = pump}, prices);
        return lines ? std::optional(lines->total()) : std::nullopt;
    };
    EXPECT_EQ(total(100.0, false), 630.0);
    EXPECT_EQ(total(100.0, true), std::nullopt);
    EXPECT_EQ(total({}, false), std::nullopt);
}

}  // namespace
}  // namespace eaveshed
