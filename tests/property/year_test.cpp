// method.md 5.13: the middling and the dry year.
#include "eaveshed/property/year.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <tuple>

#include "eaveshed/core/quantile.hpp"
#include "property/samples.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

TEST(YearsShown, OfFewYearsAreTheMiddleOneAndOneOfTheDriest) {
    const std::vector<YearWorth> five{{5, 5}, {1, 1}, {4, 4}, {2, 2}, {3, 3}};
    EXPECT_EQ(middling_year(five), 4U);   // rank 3
    EXPECT_EQ(dry_year(five, 0.2), 1U);   // rank floor(1.2) = 1
    EXPECT_EQ(dry_year(five, 0.0), 1U);   // at least the first
    EXPECT_EQ(dry_year(five, 0.99), 0U);  // at most the last
    const std::vector<YearWorth> four{{4, 4}, {1, 1}, {3, 3}, {2, 2}};
    EXPECT_EQ(middling_year(four), 3U);  // rank floor(2.5) = 2
    EXPECT_EQ(dry_year(four, 0.2), 1U);  // 0.2 x 5 is one whole rank, whatever the rounding
}

TEST(YearsShown, OfEqualWintersTheLaterInTheOrderStays) {
    EXPECT_EQ(middling_year(std::vector<YearWorth>{{3, 9}, {3, 7}, {3, 8}}), 2U);
    EXPECT_EQ(middling_year(std::vector<YearWorth>{{3, 7}, {3, 7}, {3, 7}}), 1U);
    EXPECT_EQ(dry_year(std::vector<YearWorth>{{3 + 1e-9, 7}, {3, 8}, {3, 9}}, 0.3), 0U);  // last bits decide nothing
}

// Full tanks in every winter: what is taken hangs on the summer. The middle winter had the wettest summer of all.
TEST(YearsShown, AnOddSummerStandsForNoKindOfWinter) {
    std::vector<YearWorth> years;
    for (int i = 1; i <= 21; ++i) {
        years.push_back({10.0 * i, 70.0});
    }
    years[10] = {110.0, 40.0};  // rank 11 of 21: the middle one
    years[11] = {120.0, 71.0};
    years[0] = {10.0, 90.0};  // the driest winter, before a dry summer
    years[1] = {20.0, 30.0};
    EXPECT_NE(middling_year(years), 10U);
    EXPECT_EQ(years[middling_year(years)].replaced_m3, 70.0);
    EXPECT_EQ(years[dry_year(years, 0.2)].replaced_m3, 70.0);
    // Where the winters limit what is taken it is the very winter of the rank.
    for (std::size_t i = 0; i < years.size(); ++i) {
        years[i].replaced_m3 = years[i].harvest_m3;
    }
    EXPECT_EQ(middling_year(years), 10U);
    EXPECT_EQ(dry_year(years, 0.2), 3U);  // rank floor(0.2 x 22) = 4
}

TEST(YearsShown, WhereTheWinterLimitsTheDryOneReplacesNoMoreThanTheQuantile) {
    testing::RandomNumbers random(17);
    for (int world = 0; world < 100; ++world) {
        std::vector<YearWorth> years(static_cast<std::size_t>(random.whole(1, 30)));
        std::vector<double> volumes;
        for (YearWorth& year : years) {
            year.replaced_m3 = year.harvest_m3 = random.between(0.0, 40.0);
            volumes.push_back(year.replaced_m3);
        }
        std::ranges::sort(volumes);
        for (const double share : {0.1, 0.2, 0.5, 0.8}) {
            const double dry_m3 = years[dry_year(years, share)].replaced_m3;
            EXPECT_LE(dry_m3, std::max(volumes.front(), weibull_quantile(volumes, share)) + 1e-6);
        }
        EXPECT_LE(years[dry_year(years, 0.2)].replaced_m3, years[middling_year(years)].replaced_m3 + 1e-9);
    }
}

void expect_kept(const PropertyYear& year) {
    ASSERT_EQ(year.months.size(), 12U);
    for (const PropertyMonth& month : year.months) {
        const StoreMonth& store = month.store;
        EXPECT_NEAR(store.stock_end_m3 - store.stock_start_m3, store.inflow_m3 - store.taken_m3 - store.overflow_m3,
                    1e-9);
    }
}

TEST(PropertyWater, KeepsEveryDropAndAgreesWithTheParcelsRow) {
    SampleProperty sample;
    const Property property = sample.made();
    ASSERT_TRUE(property.water);
    ASSERT_EQ(property.water->years.size(), 2U);
    const auto& [middling, dry] = std::tie(property.water->years[0], property.water->years[1]);
    EXPECT_EQ(middling.kind, YearKind::middling);
    EXPECT_EQ(dry.kind, YearKind::dry);
    expect_kept(middling);
    expect_kept(dry);
    EXPECT_LE(dry.replaced_m3, *property.row.replaced_dependable_m3 + 1e-9);
    EXPECT_GE(dry.replaced_m3, *property.row.replaced_worst_m3 - 1e-9);
    EXPECT_LE(dry.replaced_m3, middling.replaced_m3);
    for (const PropertyYear& year : property.water->years) {
        double wanted = 0.0;
        double overflow = 0.0;
        for (const PropertyMonth& month : year.months) {
            wanted += month.store.month >= 8 && month.store.month <= 10 ? month.store.demand_m3 : 0.0;
            overflow += month.store.overflow_m3;
        }
        EXPECT_NEAR(year.wanted_m3, wanted, 1e-9);
        EXPECT_NEAR(year.overflow_m3, overflow, 1e-9);
        EXPECT_LE(year.replaced_m3, year.wanted_m3 + 1e-9);
    }
    // All rain of a year falls in its November.
    EXPECT_GT(dry.months[0].rain_mm, 0.0);
    for (std::size_t i = 1; i < 12; ++i) {
        EXPECT_EQ(dry.months[i].rain_mm, 0.0);
        EXPECT_EQ(dry.months[i].store.inflow_m3, 0.0);
    }
}

TEST(PropertyWater, OfEveryYearIsTheMeanThatTheRowHas) {
    SampleProperty sample;
    const Property property = sample.made();
    double mean = 0.0;
    const auto& record = sample.found.record;
    const StorageOption& option = sample.found.options.at(sample.found.chosen);
    const auto years =
        store_months(sample.climate.timeline(), record.counted, {record.series.inflow_m3, record.series.demand_m3},
                     {option.usable_m3, 0.0}, StoreRule::after_spillage);
    for (const StoreYear& year : years) {
        for (const StoreMonth& month : year) {
            mean += month.month >= 8 && month.month <= 10 ? month.taken_m3 / static_cast<double>(years.size()) : 0.0;
        }
    }
    EXPECT_NEAR(mean, *property.row.replaced_mean_m3, 1e-9);
    // What stands in the tank when the season begins is never more than it holds, and all of it from rain.
    EXPECT_LE(property.water->stock_at_start_m3[7], option.usable_m3 + 1e-9);
    EXPECT_GE(property.water->stock_at_start_m3[7] + 1e-9, mean);
}

TEST(PropertyWater, RainTimesRoofTimesCoefficientIsWhatFlowsIn) {
    SampleProperty sample;
    sample.settings.harvest.first_flush_mm = 0.0;
    sample.settings.harvest.collection_efficiency = 1.0;
    const Property property = sample.made();
    for (const PropertyYear& year : property.water->years) {
        for (const PropertyMonth& month : year.months) {
            // Metal 0.92, all of it connected, 100 m2 a roof: 0.092 m3 a mm and roof.
            const double roofs = static_cast<double>(sample.found.members.size());
            EXPECT_NEAR(month.store.inflow_m3, 0.092 * roofs * month.rain_mm, 1e-9);
        }
    }
}

TEST(PropertyWater, OfAMeanYearHasADryOneOnlyWhereOneIsAssumed) {
    SampleProperty sample;
    sample.climate = mean_year(sample.settings);
    Property property = sample.made();
    ASSERT_EQ(property.water->years.size(), 1U);
    EXPECT_EQ(property.water->years[0].kind, YearKind::mean_year);
    EXPECT_NEAR(property.water->years[0].replaced_m3, *property.row.replaced_mean_m3, 1e-9);
    sample.settings.rain.dry_winter_factor = 0.4;
    property = sample.made();
    ASSERT_EQ(property.water->years.size(), 2U);
    EXPECT_EQ(property.water->years[1].kind, YearKind::assumed_dry);
    EXPECT_NEAR(property.water->years[1].replaced_m3, *property.row.replaced_dependable_m3, 1e-9);
    for (std::size_t i = 0; i < 12; ++i) {
        EXPECT_NEAR(property.water->years[1].months[i].rain_mm, 0.4 * property.water->years[0].months[i].rain_mm, 1e-9);
    }
    expect_kept(property.water->years[1]);
}

}  // namespace
}  // namespace eaveshed
