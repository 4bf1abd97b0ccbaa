// method.md 3.1 to 3.4: what a roof sheds into its store.
#include "eaveshed/rain/harvest.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <limits>
#include <numeric>
#include <vector>

#include "../support/random_numbers.hpp"
#include "eaveshed/core/error.hpp"
#include "support/plain_values.hpp"

namespace eaveshed {
namespace {

using testing::autumn;
using testing::sum;

using testing::RandomNumbers;

constexpr double kM2PerSquareFoot = 0.3048 * 0.3048;
constexpr double kM3PerUsGallon = 0.003785411784;  // 231 cubic inches of 25.4 mm
constexpr double kMmPerInch = 25.4;

Timeline days(std::size_t count) {
    return make_series_timeline(RainKind::daily, Calendar::standard, {2001, 1, 1}, count, autumn());
}

// Nothing lost but what the runoff coefficient takes.
HarvestRules plain(double runoff_coefficient) {
    return {.runoff_coefficient = runoff_coefficient,
            .collection_efficiency = 1.0,
            .first_flush_mm = 0.0,
            .dry_days = 1,
            .wet_day_mm = 0.2,
            .mean_event_mm = 12.0};
}

HarvestDepths of_days(const std::vector<double>& rain_mm, const HarvestRules& rules) {
    return harvest_depths(days(rain_mm.size()), rain_mm, rules);
}

// What a wholly connected roof sends to the store in one rain of that depth.
double litres(double area_m2, double rain_mm, const HarvestRules& rules) {
    return 1000.0 * inflow_m3(area_m2, 1.0, of_days({rain_mm}, rules).harvest_mm.front());
}

// Square feet times inches: the volume before a handbook's own factor for gallons is applied.
double square_foot_inches(double area_ft2, double rain_in, double runoff_coefficient) {
    const double volume_l = litres(area_ft2 * kM2PerSquareFoot, rain_in * kMmPerInch, plain(runoff_coefficient));
    return volume_l / 1000.0 / (kM2PerSquareFoot * kMmPerInch / 1000.0);
}

// R1.1: derived, 1 US gallon = 231 cubic inches.
TEST(Harvest, AnInchOnASquareFootIs144Of231Gallons) {
    EXPECT_NEAR(inflow_m3(kM2PerSquareFoot, 1.0, kMmPerInch) / kM3PerUsGallon, 144.0 / 231.0, 1e-9);
}

// R1.2: derived.
TEST(Harvest, AMillimetreOnASquareMetreIsALitre) {
    EXPECT_EQ(litres(1.0, 1.0, plain(1.0)), 1.0);
}

// R1.3: Practical Action Sri Lanka, rainwater Q&A (read).
TEST(Harvest, GivesTheTileRoofOfTheQuestionAndAnswerPage) {
    EXPECT_NEAR(litres(50.0, 1000.0, plain(0.8)), 40000.0, 1e-6);
}

// R1.4: R. Hasse, Rainwater Reservoirs above Ground Structures for Roof Catchment, GTZ-GATE 1989 (read).
TEST(Harvest, GivesTheReservoirHandbooksExample) {
    EXPECT_NEAR(litres(120.0, 450.0, plain(0.9)), 48600.0, 1e-6);
}

// R1.5: Austin example after the Texas guide to rainwater harvesting, 1990s (read in a secondary page); its 0.6 gallon
// per square foot and inch.
TEST(Harvest, GivesTheAustinExample) {
    const double gallons = 0.6 * square_foot_inches(2500.0, 32.0, 0.8);
    EXPECT_NEAR(gallons, 38400.0, 1e-6);
    EXPECT_NEAR(gallons / 365.0, 105.0, 0.5);
}

// R1.6: Oregon watermaster handout citing ORS 537.141 (read); its factor 0.625.
TEST(Harvest, GivesTheOregonExamples) {
    EXPECT_NEAR(0.625 * square_foot_inches(1600.0, 30.0, 1.0), 30000.0, 1e-6);
    EXPECT_NEAR(0.625 * square_foot_inches(2500.0, 30.0, 1.0), 46875.0, 1e-6);
}

// R1.7: Brazos River Authority, March example (read inputs); its factor 0.623.
TEST(Harvest, GivesTheBrazosExample) {
    EXPECT_NEAR(0.623 * square_foot_inches(2500.0, 3.5, 0.85), 4633.56, 0.005);
}

// R1.9: roof of R1.8 (worked example on a building-advice page, read): rain falls vertically, so 1/cos 40 degrees does
// not enter.
TEST(Harvest, DoesNotGrowWithThePitch) {
    EXPECT_NEAR(litres(87.04, 1000.0, plain(1.0)), 87040.0, 1e-6);
    EXPECT_GT(1.3054 * 87040.0 - litres(87.04, 1000.0, plain(1.0)), 26000.0);
}

// R1.10: loss form 0.8 (rain - 2 mm) of Martin 1980, used in Australian guidance (read), derived: 2 mm of rain lost are
// 1.6 mm of runoff diverted.
TEST(Harvest, LossesTakeAllOfASmallRainAndNeverMore) {
    HarvestRules rules = plain(0.8);
    rules.first_flush_mm = 1.6;
    EXPECT_NEAR(litres(150.0, 100.0, rules), 11760.0, 1e-6);
    EXPECT_EQ(litres(150.0, 1.5, rules), 0.0);
}

// R2.1: 10 gallons per 1,000 square feet, TWDB manual 2005 (memory), conversion derived.
TEST(Harvest, TenGallonsPerThousandSquareFeetAreFourTenthsOfAMillimetre) {
    HarvestRules rules = plain(0.9);
    rules.first_flush_mm = 0.40746;
    const double diverted_mm = of_days({30.0}, rules).diverted_mm.front();
    EXPECT_NEAR(inflow_m3(1000.0 * kM2PerSquareFoot, 1.0, diverted_mm) / kM3PerUsGallon, 10.0, 1e-3);
}

// R2.2: 100 m2, light dirt 0.5 L/m2, heavy 2 L/m2 (common practice).
TEST(Harvest, DivertsTheFlushOfALightlyAndAHeavilyDirtyRoof) {
    HarvestRules rules = plain(0.9);
    rules.first_flush_mm = 0.5;
    EXPECT_NEAR(1000.0 * inflow_m3(100.0, 1.0, of_days({30.0}, rules).diverted_mm.front()), 50.0, 1e-9);
    rules.first_flush_mm = 2.0;
    EXPECT_NEAR(1000.0 * inflow_m3(100.0, 1.0, of_days({30.0}, rules).diverted_mm.front()), 200.0, 1e-9);
}

// The fifteen days of R2.4 to R2.8.
const std::vector<double>& fifteen_days() {
    static const std::vector<double> kRain{12, 3, 0, 0.4, 8, 1.0, 0.1, 25, 6, 0, 0, 0, 0, 2, 14};
    return kRain;
}

struct Flushed {
    double tank_l = 0.0;
    double flushed_l = 0.0;
};

// 100 m2, C 0.9, flush 0.5 mm of runoff per event.
Flushed fifteen_days_with(double first_flush_mm, double wet_day_mm, int dry_days) {
    HarvestRules rules = plain(0.9);
    rules.first_flush_mm = first_flush_mm;
    rules.wet_day_mm = wet_day_mm;
    rules.dry_days = dry_days;
    const HarvestDepths depths = of_days(fifteen_days(), rules);
    return {1000.0 * inflow_m3(100.0, 1.0, sum(depths.harvest_mm)),
            1000.0 * inflow_m3(100.0, 1.0, sum(depths.diverted_mm))};
}

// R2.4: derived.
TEST(FirstFlush, WithoutItAllRunoffReachesTheTank) {
    EXPECT_NEAR(fifteen_days_with(0.0, 0.2, 1).tank_l, 6435.0, 1e-9);
    EXPECT_EQ(fifteen_days_with(0.0, 0.2, 1).flushed_l, 0.0);
}

// R2.5: derived.
TEST(FirstFlush, EveryDayWithRainItsOwnEvent) {
    const Flushed result = fifteen_days_with(0.5, 1e-6, 0);
    EXPECT_NEAR(result.flushed_l, 445.0, 1e-9);
    EXPECT_NEAR(result.tank_l, 5990.0, 1e-9);
}

// R2.6: derived.
TEST(FirstFlush, EveryDayOfAMillimetreItsOwnEvent) {
    const Flushed result = fifteen_days_with(0.5, 1.0, 0);
    EXPECT_NEAR(result.flushed_l, 400.0, 1e-9);
    EXPECT_NEAR(result.tank_l, 6035.0, 1e-9);
}

// R2.7: derived.
TEST(FirstFlush, EventsOnlyAfterThreeDaysBelowAMillimetre) {
    const Flushed result = fifteen_days_with(0.5, 1.0, 3);
    EXPECT_NEAR(result.flushed_l, 100.0, 1e-9);
    EXPECT_NEAR(result.tank_l, 6335.0, 1e-9);
}

// R2.8: thresholds: ETCCDI wet day 1 mm; UK rain day 0.2 mm; US 0.01 in (AMS glossary, read). With every wet day an
// event and a flush that any rain fills, the days that divert are the wet days.
TEST(FirstFlush, CountsWetDaysByTheirThreshold) {
    const auto wet_days = [](double wet_day_mm) {
        HarvestRules rules = plain(0.9);
        rules.first_flush_mm = 1e-3;
        rules.wet_day_mm = wet_day_mm;
        rules.dry_days = 0;
        const auto diverted = of_days(fifteen_days(), rules).diverted_mm;
        return std::count_if(diverted.begin(), diverted.end(), [](double depth) { return depth > 0.0; });
    };
    EXPECT_EQ(wet_days(1.0), 8);
    EXPECT_EQ(wet_days(0.2), 9);
    EXPECT_EQ(wet_days(0.254), 9);
    EXPECT_EQ(wet_days(std::numeric_limits<double>::min()), 10);
}

TEST(FirstFlush, TheRecordsFirstWetDayStartsAnEventHoweverManyDaysMustBeDry) {
    HarvestRules rules = plain(1.0);
    rules.first_flush_mm = 0.5;
    rules.dry_days = 7;
    EXPECT_EQ(of_days({10.0, 0.0, 10.0}, rules).diverted_mm, (std::vector<double>{0.5, 0.0, 0.0}));
    EXPECT_EQ(of_days({0.0, 10.0, 0.0}, rules).diverted_mm, (std::vector<double>{0.0, 0.5, 0.0}));
}

TEST(FirstFlush, BeforeTheFirstWetDayNothingIsDiverted) {
    HarvestRules rules = plain(1.0);
    rules.first_flush_mm = 0.5;
    const HarvestDepths depths = of_days({0.1, 0.1, 10.0}, rules);
    EXPECT_EQ(depths.diverted_mm, (std::vector<double>{0.0, 0.0, 0.5}));
    EXPECT_EQ(depths.harvest_mm, (std::vector<double>{0.1, 0.1, 9.5}));
}

TEST(FirstFlush, WhatIsStillToBeDivertedIsCarriedFromDayToDay) {
    HarvestRules rules = plain(1.0);
    rules.first_flush_mm = 1.0;
    // The event starts with 0.25 mm; a day below the wet-day depth gives 0.125; the next event starts anew.
    const HarvestDepths depths = of_days({0.25, 0.125, 5.0, 5.0}, rules);
    EXPECT_EQ(depths.diverted_mm, (std::vector<double>{0.25, 0.125, 1.0, 0.0}));
    rules.dry_days = 2;  // one dry day ends no event: the rest of the first one is diverted
    EXPECT_EQ(of_days({0.25, 0.125, 5.0, 5.0}, rules).diverted_mm, (std::vector<double>{0.25, 0.125, 0.625, 0.0}));
}

TEST(FirstFlush, OfMonthsIsThatOfMeanEvents) {
    const std::vector<double> rain{120.0, 6.0, 0.0};
    HarvestRules rules = plain(0.8);
    rules.first_flush_mm = 0.5;
    const Timeline months = make_series_timeline(RainKind::monthly, Calendar::standard, {2001, 1, 1}, 3, autumn());
    const HarvestDepths depths = harvest_depths(months, rain, rules);
    EXPECT_DOUBLE_EQ(depths.diverted_mm[0], 5.0);  // ten events
    EXPECT_DOUBLE_EQ(depths.diverted_mm[1], 0.25);
    EXPECT_EQ(depths.diverted_mm[2], 0.0);
    EXPECT_DOUBLE_EQ(depths.harvest_mm[0], 91.0);
    rules.first_flush_mm = 50.0;  // more than a mean event sheds: everything goes, and no more
    const HarvestDepths all = harvest_depths(months, rain, rules);
    EXPECT_DOUBLE_EQ(all.diverted_mm[0], 96.0);
    EXPECT_NEAR(all.harvest_mm[0], 0.0, 1e-12);
    EXPECT_GE(all.harvest_mm[0], 0.0);
}

TEST(Harvest, OfAMeanYearUsesTheRuleOfMonths) {
    std::vector<double> rain(12, 12.0);
    HarvestRules rules = plain(0.85);
    rules.first_flush_mm = 0.5;
    rules.collection_efficiency = 0.95;
    const HarvestDepths depths = harvest_depths(make_normals_timeline(autumn()), rain, rules);
    for (std::size_t i = 0; i < 12; ++i) {
        EXPECT_DOUBLE_EQ(depths.diverted_mm[i], 0.5);
        EXPECT_DOUBLE_EQ(depths.harvest_mm[i], 0.95 * (0.85 * 12.0 - 0.5));
    }
}

// The rule of days told once more, event by event, as a second opinion.
double flush_by_events(const std::vector<double>& rain, const HarvestRules& rules) {
    double total = 0.0;
    std::size_t i = 0;
    while (i < rain.size() && rain[i] < rules.wet_day_mm) {
        ++i;
    }
    while (i < rain.size()) {
        double runoff = rules.runoff_coefficient * rain[i];
        int dry = 0;
        std::size_t j = i + 1;
        for (; j < rain.size(); ++j) {
            const bool wet = rain[j] >= rules.wet_day_mm;
            if (wet && dry >= rules.dry_days) {
                break;
            }
            dry = wet ? 0 : dry + 1;
            runoff += rules.runoff_coefficient * rain[j];
        }
        total += std::min(runoff, rules.first_flush_mm);
        i = j;
    }
    return total;
}

TEST(FirstFlush, NeverExceedsTheRunoffAndIsThatOfTheEvents) {
    for (std::uint64_t seed = 0; seed < 500; ++seed) {
        RandomNumbers random(seed);
        std::vector<double> rain(static_cast<std::size_t>(random.whole(1, 400)));
        for (double& depth : rain) {
            depth = random.chance(0.5) ? 0.0 : random.between(0.0, random.chance(0.5) ? 0.5 : 30.0);
        }
        const HarvestRules rules{.runoff_coefficient = random.between(0.1, 1.0),
                                 .collection_efficiency = random.between(0.5, 1.0),
                                 .first_flush_mm = random.between(0.0, 3.0),
                                 .dry_days = random.whole(0, 4),
                                 .wet_day_mm = random.between(0.0, 1.0),
                                 .mean_event_mm = random.between(1.0, 30.0)};
        for (const RainKind kind : {RainKind::daily, RainKind::monthly}) {
            const Timeline timeline =
                make_series_timeline(kind, Calendar::standard, {1980, 3, 1}, rain.size(), autumn());
            const HarvestDepths depths = harvest_depths(timeline, rain, rules);
            for (std::size_t i = 0; i < rain.size(); ++i) {
                const double runoff = rules.runoff_coefficient * rain[i];
                ASSERT_GE(depths.diverted_mm[i], 0.0);
                ASSERT_LE(depths.diverted_mm[i], runoff);
                ASSERT_GE(depths.harvest_mm[i], 0.0);
                ASSERT_NEAR(depths.harvest_mm[i], rules.collection_efficiency * (runoff - depths.diverted_mm[i]),
                            1e-12);
            }
            if (kind == RainKind::daily) {
                ASSERT_NEAR(sum(depths.diverted_mm), flush_by_events(rain, rules), 1e-9);
            }
        }
    }
}

TEST(Harvest, IsLinearInAreaAndConnectedShare) {
    RandomNumbers random(9);
    for (int i = 0; i < 200; ++i) {
        const double area = random.between(20.0, 400.0);
        const double share = random.between(0.0, 1.0);
        const double depth = random.between(0.0, 80.0);
        const double inflow = inflow_m3(area, share, depth);
        EXPECT_EQ(inflow_m3(2.0 * area, share, depth), 2.0 * inflow);
        EXPECT_EQ(inflow_m3(area, 0.5 * share, depth), 0.5 * inflow);
        EXPECT_NEAR(inflow_m3(area, share, depth) + inflow_m3(35.0, share, depth), inflow_m3(area + 35.0, share, depth),
                    1e-12);
        EXPECT_EQ(inflows_m3(area, share, std::vector<double>{0.0, depth}), (std::vector<double>{0.0, inflow}));
    }
}

TEST(Harvest, NeedsOneDepthPerStep) {
    EXPECT_THROW((void)harvest_depths(days(3), std::vector<double>{1.0, 2.0}, plain(0.8)), Error);
}

}  // namespace
}  // namespace eaveshed
