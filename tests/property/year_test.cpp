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

TEST(YearAt, IsTheLowerMiddleOrTheLastYearThatTheQuantileIsNotBelow) {
    const std::vector<YearWorth> five{{5, 0}, {1, 0}, {4, 0}, {2, 0}, {3, 0}};
    EXPECT_EQ(year_at(five, 0.5), 4U);   // rank 3: the middle one
    EXPECT_EQ(year_at(five, 0.2), 1U);   // rank floor(1.2) = 1: the worst
    EXPECT_EQ(year_at(five, 0.0), 1U);   // at least the first
    EXPECT_EQ(year_at(five, 0.99), 0U);  // at most the last
    const std::vector<YearWorth> four{{4, 0}, {1, 0}, {3, 0}, {2, 0}};
    EXPECT_EQ(year_at(four, 0.5), 3U);  // rank floor(2.5) = 2
    EXPECT_EQ(year_at(four, 0.2), 1U);  // 0.2 x 5 is one whole rank, whatever the rounding
}

TEST(YearAt, OfEqualVolumesGoesByHarvestThenByTime) {
    EXPECT_EQ(year_at(std::vector<YearWorth>{{3, 9}, {3, 7}, {3, 8}}, 0.5), 2U);
    EXPECT_EQ(year_at(std::vector<YearWorth>{{3, 7}, {3, 7}, {3, 7}}, 0.5), 1U);
    EXPECT_EQ(year_at(std::vector<YearWorth>{{3 + 1e-9, 7}, {3, 8}, {3, 9}}, 0.3), 0U);  // the last bits decide nothing
}

TEST(YearAt, IsNeverBetterThanTheWeibullQuantile) {
    testing::RandomNumbers random(17);
    for (int world = 0; world < 100; ++world) {
        std::vector<YearWorth> years(static_cast<std::size_t>(random.whole(1, 30)));
        std::vector<double> volumes;
        for (YearWorth& year : years) {
            year.replaced_m3 = random.between(0.0, 40.0);
            volumes.push_back(year.replaced_m3);
        }
        std::ranges::sort(volumes);
        for (const double share : {0.1, 0.2, 0.5, 0.8}) {
            EXPECT_LE(years[year_at(years, share)].replaced_m3, weibull_quantile(volumes, share) + 1e-6);
        }
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
