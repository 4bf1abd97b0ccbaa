// A condensed record gives every roof the figures that the days themselves give.
#include "eaveshed/site/climate.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <utility>

#include "eaveshed/core/error.hpp"
#include "eaveshed/rain/condense.hpp"
#include "eaveshed/record/columns.hpp"
#include "eaveshed/record/values.hpp"
#include "eaveshed/site/water.hpp"
#include "site/tile_samples.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

using testing::RandomNumbers;

// Twelve years of days on two by two cells: showers, gaps, summers with little rain, one cell without any value.
struct Days {
    Timeline timeline;
    StepField rain;
};
Days random_days(RandomNumbers& random, const Settings& settings, bool with_gaps) {
    constexpr std::size_t kDays = 12 * 365 + 40;
    Days days;
    days.timeline =
        make_series_timeline(RainKind::daily, Calendar::standard, {1990, 9, 12}, kDays, settings.season_months());
    StepField& rain = days.rain;
    rain.grid = {.x_min = -1e4, .y_max = 1e4, .cell_width = 1e4, .cell_height = 1e4, .rows = 2, .cols = 2};
    rain.window = {0, 2, 0, 2};
    rain.steps = kDays;
    rain.values.assign(4 * kDays, 0.0);
    bool wet = false;
    for (std::size_t day = 0; day < kDays; ++day) {
        const int month = days.timeline.steps[day].month;
        wet = random.chance(wet ? 0.6 : month >= 6 && month <= 9 ? 0.04 : 0.25);
        for (std::size_t cell = 0; cell < 4; ++cell) {
            double& depth = rain.values[cell * kDays + day];
            depth = wet && random.chance(0.8) ? random.between(0.0, 30.0) : 0.0;
            if (with_gaps && (cell == 3 || random.chance(0.01))) {
                depth = std::nan("");
            }
        }
    }
    return days;
}

// The record as it is, day for day.
RoofClimate uncondensed(const Days& days) {
    return climate_of(as_recorded(days.timeline), days.rain);
}

CondensedDays condensed_days(const Days& days, const Settings& settings) {
    WetDays wet(days.rain.steps);
    for (const Cell cell : {Cell{0, 0}, Cell{0, 1}, Cell{1, 0}, Cell{1, 1}}) {
        wet.add(days.rain.series(cell));
    }
    return condense_days(days.timeline, wet.wet(), settings.season_months());
}

RoofClimate condensed(Days days, const Settings& settings) {
    CondensedDays record = condensed_days(days, settings);
    keep_days(days.rain, record.wet_steps);
    return climate_of(std::move(record), std::move(days.rain));
}

Settings random_settings(RandomNumbers& random) {
    Settings settings;
    settings.storage.rule = random.chance(0.5) ? StoreRule::after_spillage : StoreRule::before_spillage;
    settings.storage.reserve_m3 = random.chance(0.5) ? 0.0 : random.between(0.0, 1.0);
    settings.harvest.dry_days = random.whole(0, 4);
    settings.demand.soil_store_mm = random.between(5.0, 80.0);
    if (random.chance(0.5)) {
        settings.season.draw_months = {6, 7, 8, 10};
    }
    return settings;
}

void expect_near(const RoofRow& a, const RoofRow& b) {
    std::vector<Value> left;
    std::vector<Value> right;
    values_of(a, left);
    values_of(b, right);
    for (std::size_t i = 0; i < left.size(); ++i) {
        const auto* const x = std::get_if<double>(&left[i]);
        const auto* const y = std::get_if<double>(&right[i]);
        if (x != nullptr && y != nullptr) {
            EXPECT_NEAR(*x, *y, 1e-9 * std::max(1.0, std::abs(*y))) << columns_of<RoofRow>()[i].field.name;
        } else {
            EXPECT_EQ(left[i], right[i]) << columns_of<RoofRow>()[i].field.name;
        }
    }
}

TEST(Condense, KeepsEveryFigureOfARoof) {
    std::size_t filled = 0;
    for (std::uint64_t seed = 0; seed < 60; ++seed) {
        SCOPED_TRACE(seed);
        RandomNumbers random(seed);
        const Settings settings = random_settings(random);
        const TileRules rules = rules_from(settings);
        const Days recorded = random_days(random, settings, seed % 2 == 1);
        const RoofClimate days = uncondensed(recorded);
        const RoofClimate in_spells = condensed(recorded, settings);
        EXPECT_LT(in_spells.timeline().steps.size(), days.timeline().steps.size() / 3);
        TileRoof roof = roof_at(random.between(-9e3, 9e3), random.between(-9e3, 9e3));
        TileParcel parcel = parcel_with_measured_use();
        if (random.chance(0.5)) {
            parcel.facts.season_use_m3.reset();
        }
        RoofRows left;
        RoofRows right;
        left.roof.plan_area_m2 = right.roof.plan_area_m2 = roof.plan_area_m2;
        const WaterOutcome a = evaluate_water(roof, &parcel, in_spells, rules, left);
        const WaterOutcome b = evaluate_water(roof, &parcel, days, rules, right);
        ASSERT_EQ(a.has_rain, b.has_rain);
        ASSERT_EQ(a.recommended, b.recommended);
        for (std::size_t i = 0; i < a.options.size(); ++i) {
            RoofRow x = left.roof;
            RoofRow y = right.roof;
            fill_storage(rules.options[i], a.options[i], 1.0, rules, x);
            fill_storage(rules.options[i], b.options[i], 1.0, rules, y);
            expect_near(x, y);
            filled += a.options[i].behaviour.full_winters_share > 0.0 ? 1U : 0U;
        }
    }
    EXPECT_GT(filled, 20U);
}

TEST(Condense, LeavesADryPlaceDryAndAPlaceWithoutValuesMissing) {
    const Settings settings;
    RandomNumbers random(1);
    Days days = random_days(random, settings, true);
    std::fill(days.rain.values.begin(), days.rain.values.begin() + static_cast<std::ptrdiff_t>(days.rain.steps), 0.0);
    const RoofClimate climate = condensed(std::move(days), settings);
    const TileRules rules = rules_from(settings);
    RoofRows result;
    result.roof.plan_area_m2 = 100.0;
    // In the corner of the grid only its own cell counts.
    EXPECT_TRUE(evaluate_water(roof_at(-9900.0, 9800.0), nullptr, climate, rules, result).has_rain);
    EXPECT_EQ(result.roof.harvest_mean_m3, 0.0);
    EXPECT_FALSE(result.roof.flags.has(Flag::rain_filled));
    RoofRows other;
    other.roof.plan_area_m2 = 100.0;
    EXPECT_TRUE(evaluate_water(roof_at(9800.0, -9900.0), nullptr, climate, rules, other).has_rain);
    EXPECT_TRUE(other.roof.flags.has(Flag::rain_filled));
}

// A tile whose rain comes from a file has only the series of its own cells, cut one by one.
TEST(Condense, SeriesBySeriesGivesWhatTheWholeFieldGives) {
    for (std::uint64_t seed = 0; seed < 8; ++seed) {
        SCOPED_TRACE(seed);
        RandomNumbers random(seed);
        const Settings settings = random_settings(random);
        const Days days = random_days(random, settings, seed % 2 == 1);
        const RoofClimate whole = condensed(days, settings);
        const auto record = std::make_shared<RainRecord>(condensed_days(days, settings));
        const auto some =
            std::make_shared<SparseStepField>(FieldFrame{days.rain.grid, days.rain.window, depth_count(*record)});
        ClimatePlace place;
        place.rain = Point{random.between(-9e3, 9e3), random.between(-9e3, 9e3)};
        std::vector<double> cut;
        add_sampled_cells(*some, *place.rain, [&](Cell cell) -> std::span<const double> {
            const auto series = days.rain.series(cell);
            cut = depths_of(*record, {series.begin(), series.end()});
            return cut;
        });
        const auto expected = whole.rain_at(place);
        const auto found = RoofClimate(record, some, std::make_shared<Et0Basis>()).rain_at(place);
        ASSERT_TRUE(expected && found);
        EXPECT_EQ(found->filled, expected->filled);
        EXPECT_TRUE(std::ranges::equal(found->values, expected->values,
                                       [](double a, double b) { return a == b || (std::isnan(a) && std::isnan(b)); }));
    }
}

TEST(RoofClimate, RefusesRainThatDoesNotFitTheRecord) {
    const Settings settings;
    EXPECT_THROW((void)climate_of(MeanYear(make_normals_timeline(settings.season_months())),
                                  one_cell(std::vector<double>(11, 1.0))),
                 Error);
}

TEST(RoofClimate, KnowsNothingWhereAPlaceHasNoWayToARaster) {
    const Settings settings;
    const RoofClimate climate = mean_year(settings, Et0Field{one_cell(std::vector<double>(12, 4.0))});
    const ClimatePlace nowhere;
    EXPECT_FALSE(climate.rain_at(nowhere));
    EXPECT_EQ(climate.et0_at(nowhere, 40.0), KnownMonths{});
    ClimatePlace here;
    here.rain = here.et0 = Point{0.0, 0.0};
    EXPECT_EQ(climate.rain_at(here)->values.size(), 12U);
    EXPECT_EQ(climate.et0_at(here, 40.0).front(), 4.0);
    EXPECT_EQ(mean_year(settings).et0_at(here, 40.0), KnownMonths{});
}

TEST(RoofsSideBySide, AreWhatEachIsAlone) {
    RandomNumbers random(7);
    const Settings settings = random_settings(random);
    const TileRules rules = rules_from(settings);
    const RoofClimate climate = condensed(random_days(random, settings, true), settings);
    const TileParcel parcel = parcel_with_measured_use();
    std::vector<TileRoof> roofs;
    for (int i = 0; i < 21; ++i) {
        TileRoof roof = roof_at(random.between(-9.9e3, 9.9e3), random.between(-9.9e3, 9.9e3));
        roof.plan_area_m2 = random.between(30.0, 400.0);
        if (i % 3 != 0) {
            roof.facts.material = "metal";
        } else {
            roof.facts.material.reset();
        }
        if (i == 5) {
            roof.climate_place.rain.reset();
        }
        roofs.push_back(roof);
    }
    std::vector<RoofRows> results(roofs.size());
    std::vector<WaterTask> tasks;
    for (std::size_t i = 0; i < roofs.size(); ++i) {
        results[i].roof.plan_area_m2 = roofs[i].plan_area_m2;
        tasks.push_back({&roofs[i], i % 2 == 0 ? &parcel : nullptr, &results[i], {0.4, 0.7}});
    }
    const std::vector<WaterOutcome> together = evaluate_waters(tasks, climate, rules);
    std::size_t others = 0;
    for (std::size_t i = 0; i < roofs.size(); ++i) {
        SCOPED_TRACE(i);
        RoofRows result;
        result.roof.plan_area_m2 = roofs[i].plan_area_m2;
        const WaterOutcome alone = evaluate_water(roofs[i], tasks[i].parcel, climate, rules, result);
        ASSERT_EQ(together[i].has_rain, alone.has_rain);
        EXPECT_EQ(together[i].record.series.inflow_m3, alone.record.series.inflow_m3);
        EXPECT_EQ(together[i].record.series.demand_m3, alone.record.series.demand_m3);
        EXPECT_EQ(together[i].recommended, alone.recommended);
        std::vector<Value> left;
        std::vector<Value> right;
        values_of(results[i].roof, left);
        values_of(result.roof, right);
        EXPECT_EQ(left, right);
        ASSERT_EQ(together[i].at_other_runoff.size(), !alone.has_rain || i % 3 != 0 ? 0U : 2U);
        for (std::size_t k = 0; k < together[i].at_other_runoff.size(); ++k) {
            roofs[i].facts.runoff_coefficient = tasks[i].other_runoff[k];
            const WaterOutcome other = evaluate_water(roofs[i], tasks[i].parcel, climate, rules, result);
            EXPECT_EQ(together[i].at_other_runoff[k].inflow_m3, other.record.series.inflow_m3);
            EXPECT_TRUE(together[i].at_other_runoff[k].dry_inflow_m3.empty());
            ++others;
        }
        roofs[i].facts.runoff_coefficient.reset();
    }
    EXPECT_EQ(others, 14U);
    EXPECT_FALSE(together[5].has_rain);
}

}  // namespace
}  // namespace eaveshed
