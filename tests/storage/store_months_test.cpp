// method.md 5.13: a store's years month by month.
#include "eaveshed/storage/store_months.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <vector>

#include "../support/random_numbers.hpp"
#include "support/plain_values.hpp"

namespace eaveshed {
namespace {

using testing::autumn;
using testing::RandomNumbers;

constexpr std::array<StoreRule, 2> kBothRules{StoreRule::after_spillage, StoreRule::before_spillage};

// Some years of a record with random water, demand in the season and a little before it.
struct SomeRecord {
    Timeline timeline;
    std::vector<double> inflow_m3;
    std::vector<double> demand_m3;
};

SomeRecord some_record(const Timeline& timeline, RandomNumbers& random) {
    SomeRecord record{timeline, {}, {}};
    for (const Step& step : timeline.steps) {
        record.inflow_m3.push_back(random.chance(0.4) ? random.between(0.0, 0.3 * step.days) : 0.0);
        const bool season = step.month >= 8 && step.month <= 10;
        record.demand_m3.push_back(season || (step.month == 7 && random.chance(0.5)) ? 0.12 * step.days : 0.0);
    }
    return record;
}

std::vector<SomeRecord> some_records() {
    RandomNumbers random(29);
    std::vector<SomeRecord> records;
    for (int world = 0; world < 4; ++world) {
        records.push_back(some_record(
            make_series_timeline(RainKind::daily, Calendar::standard, {1999, 3, 4}, 365 * 6, autumn()), random));
        records.push_back(some_record(
            make_series_timeline(RainKind::monthly, Calendar::standard, {1990, 11, 1}, 60, autumn()), random));
        records.push_back(some_record(make_normals_timeline(autumn()), random));
    }
    return records;
}

TEST(StoreMonths, KeepEveryDropOfEveryMonth) {
    for (const SomeRecord& record : some_records()) {
        for (const StoreRule rule : kBothRules) {
            for (const StoreYear& year : store_months(record.timeline, record.timeline.years,
                                                      {record.inflow_m3, record.demand_m3}, {9.0, 1.5}, rule)) {
                ASSERT_EQ(year.size(), 12U);
                for (std::size_t i = 0; i < year.size(); ++i) {
                    const StoreMonth& month = year[i];
                    EXPECT_NEAR(month.stock_end_m3 - month.stock_start_m3,
                                month.inflow_m3 - month.taken_m3 - month.overflow_m3, 1e-9);
                    EXPECT_LE(month.taken_m3, month.demand_m3 + 1e-12);
                    EXPECT_GE(month.stock_end_m3, 0.0);
                    EXPECT_LE(month.stock_end_m3, 9.0);
                    EXPECT_EQ(month.stock_start_m3, i > 0 ? year[i - 1].stock_end_m3 : month.stock_start_m3);
                    EXPECT_EQ(month.month, (10 + static_cast<int>(i)) % 12 + 1);
                }
            }
        }
    }
}

TEST(StoreMonths, AddUpToTheYearThatTheStoreReports) {
    for (const SomeRecord& record : some_records()) {
        for (const StoreRule rule : kBothRules) {
            // Of a series every second year counts; the store runs through the others.
            std::vector<TankYear> counted;
            for (std::size_t i = 0; i < record.timeline.years.size(); i += 2) {
                counted.push_back(record.timeline.years[i]);
            }
            const Store store{6.0, 0.5};
            const auto years = run_store(record.timeline, counted, record.inflow_m3, record.demand_m3, store, rule);
            const auto months =
                store_months(record.timeline, counted, {record.inflow_m3, record.demand_m3}, store, rule);
            ASSERT_EQ(months.size(), years.size());
            for (std::size_t i = 0; i < years.size(); ++i) {
                double replaced = 0.0;
                double overflow = 0.0;
                int days = 0;
                for (const StoreMonth& month : months[i]) {
                    replaced += month.month >= 8 && month.month <= 10 ? month.taken_m3 : 0.0;
                    overflow += month.overflow_m3;
                    days += month.days;
                }
                EXPECT_NEAR(replaced, years[i].replaced_m3, 1e-9);
                EXPECT_NEAR(overflow, years[i].overflow_m3, 1e-9);
                EXPECT_EQ(days, counted[i].days);
            }
        }
    }
}

TEST(StoreMonths, OfAMeanYearEndAsTheyBegin) {
    RandomNumbers random(3);
    for (int world = 0; world < 20; ++world) {
        const SomeRecord record = some_record(make_normals_timeline(autumn()), random);
        const auto years = store_months(record.timeline, record.timeline.years, {record.inflow_m3, record.demand_m3},
                                        {5.0, 0.0}, StoreRule::after_spillage);
        ASSERT_EQ(years.size(), 1U);
        EXPECT_NEAR(years[0].front().stock_start_m3, years[0].back().stock_end_m3, 1e-9);
    }
}

// By hand: 4 m3 flow in in November and nothing after, 2 m3 are wanted in each of three months, the store holds 3 and
// begins empty: 1 spills, 2 and then 1 are taken, and October goes without.
TEST(StoreMonths, AreThoseWorkedByHand) {
    const Timeline timeline = make_series_timeline(RainKind::monthly, Calendar::standard, {2000, 11, 1}, 12, autumn());
    std::vector<double> inflow(12, 0.0);
    std::vector<double> demand(12, 0.0);
    inflow[0] = 4.0;
    demand[9] = demand[10] = demand[11] = 2.0;
    const StoreYear year =
        store_months(timeline, timeline.years, {inflow, demand}, {3.0, 0.0}, StoreRule::after_spillage).at(0);
    EXPECT_EQ(year[0].overflow_m3, 1.0);
    EXPECT_EQ(year[8].stock_end_m3, 3.0);
    EXPECT_EQ(year[9].taken_m3, 2.0);
    EXPECT_EQ(year[10].taken_m3, 1.0);
    EXPECT_EQ(year[11].taken_m3, 0.0);
    EXPECT_EQ(year[11].stock_end_m3, 0.0);
}

}  // namespace
}  // namespace eaveshed
