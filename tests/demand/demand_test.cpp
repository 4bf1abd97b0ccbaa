// method.md 4.1 to 4.8: the demand of every step.
#include "eaveshed/demand/demand.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <numeric>
#include <vector>

#include "../support/random_numbers.hpp"
#include "eaveshed/core/error.hpp"

namespace eaveshed {
namespace {

using testing::RandomNumbers;

constexpr double kLitresPerUsGallon = 3.785411784;

Season season_of(const std::vector<int>& forbear, const std::vector<int>& draw) {
    const MonthSet set(forbear);
    return {
        .fill = {}, .forbear = set, .draw = MonthSet(draw), .first_month = next_month(last_of_run(set).value_or(12))};
}

Season autumn() {
    return season_of({8, 9, 10}, {8, 9, 10});
}

std::array<double, 12> same_all_year(double et0_mm_day) {
    std::array<double, 12> et0{};
    et0.fill(et0_mm_day);
    return et0;
}

DemandInputs garden_only() {
    return {.people = 0.0,
            .litres_per_person_day = 0.0,
            .home_share = 0.0,
            .garden_m2 = 100.0,
            .crop_coefficient = 1.0,
            .irrigation_efficiency = 0.9,
            .rain_effectiveness = 0.75,
            .soil_store_mm = 25.0,
            .et0_mm_day = same_all_year(5.0),
            .season_use_m3 = {}};
}

DemandInputs home_only(double people, double litres_per_person_day) {
    DemandInputs inputs = garden_only();
    inputs.people = people;
    inputs.litres_per_person_day = litres_per_person_day;
    inputs.home_share = 1.0;
    inputs.garden_m2 = 0.0;
    return inputs;
}

Timeline mean_year() {
    return make_normals_timeline(autumn());
}

double sum(const std::vector<double>& values) {
    return std::accumulate(values.begin(), values.end(), 0.0);
}

// Litres of the mean year's season without rain.
double dry_season_litres(const DemandInputs& inputs) {
    return 1000.0 * sum(demand_m3(mean_year(), std::vector<double>(12, 0.0), autumn(), inputs));
}

// R1.11: 20 L x 6 people x 25 dry days, Univ. of Warwick DTU sizing guidance (read).
TEST(Demand, SixPeopleTake120LitresADay) {
    const Timeline timeline = make_series_timeline(RainKind::daily, Calendar::standard, {2001, 8, 1}, 25, autumn());
    const auto demand = demand_m3(timeline, std::vector<double>(25, 0.0), autumn(), home_only(6.0, 20.0));
    EXPECT_NEAR(demand.front(), 0.120, 1e-12);
    EXPECT_NEAR(sum(demand), 3.0, 1e-12);
}

// R4.6: derived: 100 m2, Kc 1.0, ET0 Aug 5.0, Sep 4.0, Oct 2.5, efficiency 0.90, no rain.
TEST(Demand, GivesTheGardensDrySeason) {
    DemandInputs inputs = garden_only();
    inputs.et0_mm_day[7] = 5.0;
    inputs.et0_mm_day[8] = 4.0;
    inputs.et0_mm_day[9] = 2.5;
    const auto demand = demand_m3(mean_year(), std::vector<double>(12, 0.0), autumn(), inputs);
    EXPECT_NEAR(1000.0 * demand[9], 17222.0, 0.5);
    EXPECT_NEAR(1000.0 * demand[10], 13333.0, 0.5);
    EXPECT_NEAR(1000.0 * demand[11], 8611.0, 0.5);
    EXPECT_NEAR(dry_season_litres(inputs), 39167.0, 0.5);
}

// R4.7: FAO Irrigation Water Management Training Manual 4 (memory): surface 60, sprinkler 75, drip 90 %.
TEST(Demand, DripSavesAThirdOfSurfaceIrrigation) {
    DemandInputs inputs = garden_only();
    inputs.irrigation_efficiency = 0.60;
    const double surface = dry_season_litres(inputs);
    inputs.irrigation_efficiency = 0.75;
    const double sprinkler = dry_season_litres(inputs);
    inputs.irrigation_efficiency = 0.90;
    EXPECT_NEAR(dry_season_litres(inputs) / surface, 2.0 / 3.0, 1e-12);
    EXPECT_NEAR(sprinkler / surface, 0.8, 1e-12);
}

// R4.8: 47 gal/person/day is 177.91 L (California standard 2025-29, CalWEP page); 82 gal is 310.4 L (US average 2015,
// USGS OFR 2017-1131) (read).
TEST(Demand, OnePersonsDayIsTheStatedVolume) {
    const double days = 92.0;
    EXPECT_NEAR(dry_season_litres(home_only(1.0, 47.0 * kLitresPerUsGallon)) / days, 177.91, 0.005);
    EXPECT_NEAR(dry_season_litres(home_only(1.0, 82.0 * kLitresPerUsGallon)) / days, 310.4, 0.05);
}

// R4.9: derived: 4 people x 55 gal x 92 days.
TEST(Demand, FourPeoplesSeasonIs20240Gallons) {
    const double litres = dry_season_litres(home_only(4.0, 55.0 * kLitresPerUsGallon));
    EXPECT_NEAR(litres / kLitresPerUsGallon, 20240.0, 1e-6);
    EXPECT_NEAR(litres / 1000.0, 76.617, 0.0005);
}

TEST(Demand, HomeUseCountsOnlyThePartThatRoofWaterMayServe) {
    DemandInputs inputs = home_only(2.5, 190.0);
    inputs.home_share = 0.3;
    EXPECT_NEAR(dry_season_litres(inputs), 2.5 * 190.0 * 0.3 * 92.0, 1e-9);
}

TEST(Demand, IsZeroOutsideTheDrawMonths) {
    DemandInputs inputs = garden_only();
    inputs.people = 2.0;
    inputs.litres_per_person_day = 200.0;
    inputs.home_share = 0.3;
    const Season season = season_of({8, 9, 10}, {7, 9});
    const Timeline timeline = make_series_timeline(RainKind::daily, Calendar::standard, {2000, 11, 1}, 800, season);
    const std::vector<double> rain(800, 0.0);
    inputs.season_use_m3 = {};
    const auto estimated = demand_m3(timeline, rain, season, inputs);
    inputs.season_use_m3 = 9.2;
    const auto measured = demand_m3(timeline, rain, season, inputs);
    for (std::size_t i = 0; i < 800; ++i) {
        const int month = timeline.steps[i].month;
        const bool draws = month == 7 || month == 9;
        EXPECT_EQ(estimated[i] > 0.0, draws);
        EXPECT_EQ(measured[i] > 0.0, draws);
        if (draws) {
            EXPECT_NEAR(measured[i], 0.1, 1e-15);
        }
    }
}

TEST(Demand, MonthsTakeOffTheEffectiveRainOfTheirDays) {
    const DemandInputs inputs = garden_only();
    const Timeline timeline = make_series_timeline(RainKind::monthly, Calendar::standard, {2001, 8, 1}, 3, autumn());
    const std::vector<double> rain{62.0, 400.0, 0.0};
    const auto net = net_irrigation_mm_day(timeline, rain, inputs);
    EXPECT_DOUBLE_EQ(net[0], 5.0 - 0.75 * 2.0);
    EXPECT_EQ(net[1], 0.0);
    EXPECT_EQ(net[2], 5.0);
    const auto demand = demand_m3(timeline, rain, autumn(), inputs);
    EXPECT_NEAR(demand[0], 100.0 * 3.5 / 1000.0 / 0.9 * 31.0, 1e-12);
    EXPECT_EQ(demand[1], 0.0);
}

TEST(Demand, TheSoilIsFilledBeforeItIsDrawnUpon) {
    DemandInputs inputs = garden_only();
    inputs.rain_effectiveness = 1.0;
    inputs.soil_store_mm = 12.0;
    const Timeline timeline = make_series_timeline(RainKind::daily, Calendar::standard, {2001, 8, 1}, 6, autumn());
    // Empty at first; 20 mm fill it to 12, of which the same day takes 5.
    const auto net = net_irrigation_mm_day(timeline, std::vector<double>{0.0, 20.0, 0.0, 0.0, 3.0, 0.0}, inputs);
    EXPECT_EQ(net, (std::vector<double>{5.0, 0.0, 0.0, 3.0, 2.0, 5.0}));
}

TEST(Demand, TheSoilKeepsItsStoreThroughMonthsWithoutDraw) {
    DemandInputs inputs = garden_only();
    inputs.rain_effectiveness = 1.0;
    inputs.crop_coefficient = 0.5;
    inputs.et0_mm_day[6] = 2.0;  // July takes 1 mm a day
    const Timeline timeline = make_series_timeline(RainKind::daily, Calendar::standard, {2001, 7, 25}, 20, autumn());
    std::vector<double> rain(20, 0.0);
    rain[0] = 100.0;  // 25 mm held on 25 July; 7 mm gone by the end of July
    const auto demand = demand_m3(timeline, rain, autumn(), inputs);
    // 18 mm left serve 7.2 days at 2.5 mm.
    for (std::size_t i = 0; i < 14; ++i) {
        EXPECT_EQ(demand[i], 0.0) << i;
    }
    EXPECT_NEAR(demand[14], 100.0 * 2.0 / 1000.0 / 0.9, 1e-12);
    EXPECT_NEAR(demand[15], 100.0 * 2.5 / 1000.0 / 0.9, 1e-12);
}

TEST(Demand, MeasuredUseReplacesTheRestAndIsSpreadOverTheSeasonsDays) {
    DemandInputs inputs = garden_only();
    inputs.people = 5.0;
    inputs.season_use_m3 = 46.0;
    EXPECT_NEAR(dry_season_litres(inputs), 46000.0, 1e-9);
    const auto days = demand_m3(mean_year(), std::vector<double>(12, 100.0), autumn(), inputs);
    EXPECT_NEAR(days[9], 46.0 * 31.0 / 92.0, 1e-12);
}

TEST(Demand, MeasuredUseFollowsTheDaysOfEachYearsSeason) {
    // The season of December to February has 90 or 91 days.
    const Season season = season_of({12, 1, 2}, {12, 1, 2});
    const Timeline timeline = make_series_timeline(RainKind::daily, Calendar::standard, {2002, 3, 1}, 1050, season);
    DemandInputs inputs = garden_only();
    inputs.season_use_m3 = 30.0;
    const auto demand = demand_m3(timeline, std::vector<double>(1050, 0.0), season, inputs);
    ASSERT_EQ(timeline.years.size(), 2U);
    EXPECT_NEAR(demand[timeline.years[0].end - 1], 30.0 / 90.0, 1e-15);
    EXPECT_NEAR(demand[timeline.years[1].end - 1], 30.0 / 91.0, 1e-15);
    for (const TankYear& year : timeline.years) {
        double total = 0.0;
        for (std::size_t i = year.begin; i < year.end; ++i) {
            total += demand[i];
        }
        EXPECT_NEAR(total, 30.0, 1e-12);
    }
    // Past the last complete year: the mean year's 90 days.
    ASSERT_GT(timeline.steps.size(), timeline.years[1].end + 276);
    EXPECT_EQ(timeline.steps[timeline.years[1].end + 276].month, 12);
    EXPECT_NEAR(demand[timeline.years[1].end + 276], 30.0 / 90.0, 1e-15);
}

TEST(Demand, NeedsOneDepthPerStep) {
    EXPECT_THROW((void)demand_m3(mean_year(), std::vector<double>(3), autumn(), garden_only()), Error);
}

TEST(Demand, WaterIsConservedInTheSoilAndRainNeverRaisesTheNeed) {
    for (std::uint64_t seed = 0; seed < 200; ++seed) {
        RandomNumbers random(seed);
        DemandInputs inputs = garden_only();
        inputs.crop_coefficient = random.between(0.2, 1.2);
        inputs.rain_effectiveness = random.between(0.0, 1.0);
        inputs.soil_store_mm = random.between(0.0, 60.0);
        for (double& et0 : inputs.et0_mm_day) {
            et0 = random.between(0.0, 8.0);
        }
        const Timeline timeline =
            make_series_timeline(RainKind::daily, Calendar::standard, {2000, 5, 3}, 700, autumn());
        std::vector<double> rain(700);
        for (double& depth : rain) {
            depth = random.chance(0.7) ? 0.0 : random.between(0.0, 30.0);
        }
        std::vector<double> wetter = rain;
        wetter[static_cast<std::size_t>(random.whole(0, 699))] += 10.0;
        const auto net = net_irrigation_mm_day(timeline, rain, inputs);
        const auto wetter_net = net_irrigation_mm_day(timeline, wetter, inputs);
        double taken = 0.0;
        double taken_wetter = 0.0;
        for (std::size_t i = 0; i < rain.size(); ++i) {
            const double need =
                inputs.crop_coefficient * inputs.et0_mm_day[static_cast<std::size_t>(timeline.steps[i].month - 1)];
            ASSERT_GE(net[i], 0.0);
            ASSERT_LE(net[i], need);
            taken += need - net[i];
            taken_wetter += need - wetter_net[i];
            ASSERT_GE(taken_wetter, taken - 1e-9);
        }
        ASSERT_LE(taken, inputs.rain_effectiveness * sum(rain) + 1e-9);
    }
}

TEST(Demand, RoofsSideBySideAreWhatEachIsAlone) {
    const Timeline timeline = make_series_timeline(RainKind::daily, Calendar::standard, {2000, 11, 1}, 800, autumn());
    testing::RandomNumbers random(23);
    // Every day a step, so that the plain way over days says what each must be.
    const CondensedDays days = as_recorded(timeline);
    std::vector<Lanes> rain_mm(timeline.steps.size());
    for (Lanes& day : rain_mm) {
        for (double& depth : day) {
            depth = random.chance(0.7) ? 0.0 : random.between(0.0, 20.0);
        }
    }
    std::vector<DemandInputs> inputs;
    for (std::size_t k = 0; k < kLanes; ++k) {
        DemandInputs input = home_only(random.between(1.0, 5.0), 20.0);
        input.garden_m2 = random.between(50.0, 900.0);
        input.crop_coefficient = 0.8;
        input.rain_effectiveness = random.between(0.5, 1.0);
        input.soil_store_mm = random.between(5.0, 60.0);
        input.et0_mm_day.fill(random.between(2.0, 6.0));
        if (k == 3) {
            input.season_use_m3 = 40.0;
        }
        inputs.push_back(input);
    }
    std::vector<Lanes> together;
    for (const Vectors vectors : vectors_here()) {
        run_demands(timeline, days.spells, rain_mm, autumn(), inputs, together, vectors);
        for (std::size_t k = 0; k < kLanes; ++k) {
            EXPECT_EQ(lane_of(together, k), demand_m3(timeline, lane_of(rain_mm, k), autumn(), inputs[k]));
            EXPECT_GT(sum(lane_of(together, k)), 0.0);
        }
    }
    EXPECT_NEAR(sum(lane_of(together, 3)), 40.0 * 2.0, 1e-9);
    inputs.resize(kLanes + 1);
    EXPECT_THROW(run_demands(timeline, days.spells, rain_mm, autumn(), inputs, together), Error);
}

}  // namespace
}  // namespace eaveshed
