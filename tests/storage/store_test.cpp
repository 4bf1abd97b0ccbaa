// method.md 5.3 to 5.5: the water balance of a store.
#include "eaveshed/storage/store.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <numeric>
#include <vector>

#include "../support/random_numbers.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/core/lanes.hpp"
#include "support/plain_values.hpp"

namespace eaveshed {
namespace {

using testing::autumn;
using testing::sum;

using testing::RandomNumbers;

constexpr std::array<StoreRule, 2> kRules{StoreRule::after_spillage, StoreRule::before_spillage};

struct Trace {
    std::vector<double> yield_m3;
    std::vector<double> stock_m3;
    std::vector<double> overflow_m3;
};

Trace run_steps(const std::vector<double>& inflow, const std::vector<double>& demand, Store store, StoreRule rule) {
    Trace run;
    double stock = 0.0;
    for (std::size_t i = 0; i < inflow.size(); ++i) {
        const StoreStep step = step_store(stock, inflow[i], demand[i], store, rule);
        stock = step.stock_m3;
        run.yield_m3.push_back(step.yield_m3);
        run.stock_m3.push_back(step.stock_m3);
        run.overflow_m3.push_back(step.overflow_m3);
    }
    return run;
}

const std::vector<double> kEightInflows{3, 0, 6, 1, 0, 0, 4, 2};

// R3.1: rule: Jenkins et al. 1978; Fewkes and Butler 2000 (read in restatements); numbers derived.
TEST(Store, YieldsAfterSpillageAsInTheWorkedSeries) {
    const std::vector<double> demand(8, 1.5);
    const Trace run = run_steps(kEightInflows, demand, {4.0, 0.0}, StoreRule::after_spillage);
    EXPECT_EQ(run.yield_m3, (std::vector<double>{0, 1.5, 1.5, 1.5, 1.5, 0.5, 0, 1.5}));
    EXPECT_EQ(run.stock_m3, (std::vector<double>{3, 1.5, 2.5, 2, 0.5, 0, 4, 2.5}));
    EXPECT_DOUBLE_EQ(sum(run.yield_m3), 8.0);
    EXPECT_DOUBLE_EQ(sum(run.overflow_m3), 5.5);
    EXPECT_DOUBLE_EQ(sum(run.yield_m3) / sum(demand), 2.0 / 3.0);
    EXPECT_EQ(std::count(run.yield_m3.begin(), run.yield_m3.end(), 1.5), 5);  // time reliability 5/8
    // R3.3: the looser rule that caps at S instead of S - Y gives 9.5: it must not come out.
    double stock = 0.0;
    double looser_yield = 0.0;
    for (const double inflow : kEightInflows) {
        const double yield = std::min(1.5, stock);
        stock = std::min(stock + inflow - yield, 4.0);
        looser_yield += yield;
    }
    EXPECT_DOUBLE_EQ(looser_yield, 9.5);
    EXPECT_LT(sum(run.yield_m3), looser_yield);
}

// R3.2: same series and sources.
TEST(Store, YieldsBeforeSpillageAsInTheWorkedSeries) {
    const Trace run = run_steps(kEightInflows, std::vector<double>(8, 1.5), {4.0, 0.0}, StoreRule::before_spillage);
    EXPECT_DOUBLE_EQ(sum(run.yield_m3), 12.0);
    EXPECT_DOUBLE_EQ(sum(run.overflow_m3), 0.5);
    EXPECT_DOUBLE_EQ(run.stock_m3.back(), 3.5);
}

TEST(Store, TheReserveIsNeverGivenOut) {
    const Trace run = run_steps({5.0, 0.0, 0.0}, {0.0, 2.5, 2.5}, {5.0, 1.0}, StoreRule::after_spillage);
    EXPECT_EQ(run.yield_m3, (std::vector<double>{0.0, 2.5, 1.5}));
    EXPECT_EQ(run.stock_m3.back(), 1.0);
    // Below the reserve nothing is given, and the reserve fills first.
    EXPECT_EQ(run_steps({0.5}, {3.0}, {5.0, 1.0}, StoreRule::before_spillage).yield_m3.front(), 0.0);
    EXPECT_EQ(run_steps({1.5}, {3.0}, {5.0, 1.0}, StoreRule::before_spillage).yield_m3.front(), 0.5);
}

// A record of days with a wet winter and a dry summer, and the demand of its season.
struct RandomRecord {
    Timeline timeline;
    std::vector<double> inflow_m3;
    std::vector<double> demand_m3;
};

RandomRecord random_record(RandomNumbers& random) {
    const bool daily = random.chance(0.5);
    RandomRecord record;
    const Calendar calendar = random.chance(0.5) ? Calendar::standard : Calendar::days_360;
    const auto steps = static_cast<std::size_t>(daily ? random.whole(800, 2500) : random.whole(40, 300));
    const Date first{random.whole(1950, 2000), random.whole(1, 12), daily ? random.whole(1, 28) : 1};
    record.timeline =
        make_series_timeline(daily ? RainKind::daily : RainKind::monthly, calendar, first, steps, autumn());
    const double per_day = random.between(0.0, 1.0);
    const bool draws_in_winter = random.chance(0.3);
    for (const Step& step : record.timeline.steps) {
        const bool winter = step.month >= 11 || step.month <= 4;
        const double size = random.between(0.0, 0.4) * step.days;
        record.inflow_m3.push_back(random.chance(winter ? 0.6 : 0.1) ? size : 0.0);
        const bool draws = step.month >= 8 && step.month <= 10;
        record.demand_m3.push_back(draws || (draws_in_winter && step.month == 3) ? per_day * step.days : 0.0);
    }
    return record;
}

Store random_store(RandomNumbers& random) {
    const double usable = random.between(0.5, 60.0);
    return {usable, random.chance(0.5) ? 0.0 : random.between(0.0, 0.9) * usable};
}

TEST(Store, ConservesWaterAndKeepsItsBounds) {
    for (std::uint64_t seed = 0; seed < 200; ++seed) {
        RandomNumbers random(seed);
        const RandomRecord record = random_record(random);
        const Store store = random_store(random);
        for (const StoreRule rule : kRules) {
            const Trace run = run_steps(record.inflow_m3, record.demand_m3, store, rule);
            EXPECT_NEAR(sum(record.inflow_m3), sum(run.yield_m3) + sum(run.overflow_m3) + run.stock_m3.back(), 1e-8);
            double before = 0.0;
            for (std::size_t i = 0; i < run.yield_m3.size(); ++i) {
                ASSERT_GE(run.yield_m3[i], 0.0);
                ASSERT_LE(run.yield_m3[i], record.demand_m3[i]);
                ASSERT_GE(run.overflow_m3[i], 0.0);
                ASSERT_GE(run.stock_m3[i], 0.0);
                ASSERT_LE(run.stock_m3[i], store.usable_m3);
                if (run.yield_m3[i] > 0.0) {
                    const double at_hand = before + (rule == StoreRule::after_spillage ? 0.0 : record.inflow_m3[i]);
                    ASSERT_LE(run.yield_m3[i], at_hand - store.reserve_m3 + 1e-12);
                }
                before = run.stock_m3[i];
            }
        }
    }
}

TEST(Store, MoreStorageOrMoreInflowNeverReplacesLessInAll) {
    for (std::uint64_t seed = 0; seed < 200; ++seed) {
        RandomNumbers random(seed);
        const RandomRecord record = random_record(random);
        const Store store = random_store(random);
        const Store larger{store.usable_m3 + random.between(0.0, 20.0), store.reserve_m3};
        std::vector<double> more_inflow = record.inflow_m3;
        for (double& inflow : more_inflow) {
            inflow += random.chance(0.1) ? random.between(0.0, 1.0) : 0.0;
        }
        for (const StoreRule rule : kRules) {
            const double yield = sum(run_steps(record.inflow_m3, record.demand_m3, store, rule).yield_m3);
            EXPECT_GE(sum(run_steps(record.inflow_m3, record.demand_m3, larger, rule).yield_m3), yield - 1e-9);
            EXPECT_GE(sum(run_steps(more_inflow, record.demand_m3, store, rule).yield_m3), yield - 1e-9);
        }
    }
}

TEST(Store, AfterSpillageNeverYieldsMoreInAllThanBefore) {
    for (std::uint64_t seed = 0; seed < 300; ++seed) {
        RandomNumbers random(seed);
        const RandomRecord record = random_record(random);
        const Store store = random_store(random);
        const Trace after = run_steps(record.inflow_m3, record.demand_m3, store, StoreRule::after_spillage);
        const Trace before = run_steps(record.inflow_m3, record.demand_m3, store, StoreRule::before_spillage);
        EXPECT_LE(sum(after.yield_m3), sum(before.yield_m3) + 1e-9);
    }
}

// The years of a run, told step by step from the method's page.
std::vector<YearOfStore> told_again(const RandomRecord& record, const std::vector<TankYear>& counted, Store store,
                                    StoreRule rule) {
    std::vector<YearOfStore> years;
    double stock = 0.0;
    for (const TankYear& year : record.timeline.years) {
        YearOfStore result;
        for (std::size_t i = year.begin; i < year.end; ++i) {
            const double inflow = record.inflow_m3[i];
            const double demand = record.demand_m3[i];
            const bool after = rule == StoreRule::after_spillage;
            const double yield = std::min(demand, std::max(0.0, (after ? stock : stock + inflow) - store.reserve_m3));
            const double cap = after ? store.usable_m3 - yield : store.usable_m3;
            const double next = std::min(stock + inflow - yield, cap);
            result.overflow_m3 += stock + inflow - yield - next;
            const int month = record.timeline.steps[i].month;
            if (month >= 8 && month <= 10) {
                result.replaced_m3 += yield;
                result.demand_m3 += demand;
            } else {
                result.filled = result.filled || next >= cap - 1e-9;
            }
            stock = next;
        }
        const bool counts = std::any_of(counted.begin(), counted.end(),
                                        [&](const TankYear& other) { return other.begin == year.begin; });
        if (counts) {
            years.push_back(result);
        }
    }
    return years;
}

TEST(Store, YearsAreThoseOfTheStepsAndManyStoresRunAsOne) {
    int filled = 0;
    int not_filled = 0;
    for (std::uint64_t seed = 0; seed < 150; ++seed) {
        RandomNumbers random(seed);
        const RandomRecord record = random_record(random);
        std::vector<TankYear> counted;
        for (const TankYear& year : record.timeline.years) {
            if (random.chance(0.8)) {
                counted.push_back(year);
            }
        }
        std::vector<Store> stores(static_cast<std::size_t>(random.whole(1, 10)));
        for (Store& store : stores) {
            store = random_store(random);
        }
        for (const StoreRule rule : kRules) {
            const auto all = run_stores(record.timeline, counted, record.inflow_m3, record.demand_m3, stores, rule);
            ASSERT_EQ(all.size(), stores.size());
            for (std::size_t k = 0; k < stores.size(); ++k) {
                const auto one =
                    run_store(record.timeline, counted, record.inflow_m3, record.demand_m3, stores[k], rule);
                const auto expected = told_again(record, counted, stores[k], rule);
                ASSERT_EQ(one.size(), counted.size());
                ASSERT_EQ(all[k].size(), counted.size());
                for (std::size_t y = 0; y < one.size(); ++y) {
                    ASSERT_EQ(one[y].replaced_m3, all[k][y].replaced_m3);
                    ASSERT_EQ(one[y].overflow_m3, all[k][y].overflow_m3);
                    ASSERT_EQ(one[y].filled, all[k][y].filled);
                    ASSERT_EQ(one[y].replaced_m3, expected[y].replaced_m3);
                    ASSERT_EQ(one[y].demand_m3, expected[y].demand_m3);
                    ASSERT_EQ(one[y].overflow_m3, expected[y].overflow_m3);
                    ASSERT_EQ(one[y].filled, expected[y].filled);
                    filled += one[y].filled ? 1 : 0;
                    not_filled += one[y].filled ? 0 : 1;
                }
            }
        }
    }
    EXPECT_GT(filled, 100);
    EXPECT_GT(not_filled, 100);
}

TEST(Store, ScalesWithAllItsVolumes) {
    RandomNumbers random(77);
    const RandomRecord record = random_record(random);
    std::vector<double> inflow = record.inflow_m3;
    std::vector<double> demand = record.demand_m3;
    for (std::size_t i = 0; i < inflow.size(); ++i) {
        inflow[i] *= 4.0;
        demand[i] *= 4.0;
    }
    for (const StoreRule rule : kRules) {
        const auto one =
            run_store(record.timeline, record.timeline.years, record.inflow_m3, record.demand_m3, {9.0, 1.0}, rule);
        const auto four = run_store(record.timeline, record.timeline.years, inflow, demand, {36.0, 4.0}, rule);
        for (std::size_t y = 0; y < one.size(); ++y) {
            EXPECT_EQ(four[y].replaced_m3, 4.0 * one[y].replaced_m3);
            EXPECT_EQ(four[y].overflow_m3, 4.0 * one[y].overflow_m3);
        }
    }
}

// The store is empty on the first day of the first complete tank year, whatever the months before it brought.
TEST(Store, StartsEmptyWithTheFirstCompleteTankYear) {
    const Timeline timeline = make_series_timeline(RainKind::monthly, Calendar::standard, {2000, 5, 1}, 30, autumn());
    ASSERT_EQ(timeline.years.size(), 2U);
    std::vector<double> inflow(30, 0.0);
    std::vector<double> demand(30, 0.0);
    inflow[0] = 100.0;
    demand[timeline.years[0].first_forbear] = 5.0;
    inflow[timeline.years[0].end] = 8.0;
    demand[timeline.years[1].first_forbear] = 5.0;
    const auto years = run_store(timeline, timeline.years, inflow, demand, {10.0, 0.0}, StoreRule::after_spillage);
    EXPECT_EQ(years[0].replaced_m3, 0.0);
    EXPECT_EQ(years[0].overflow_m3, 0.0);
    EXPECT_EQ(years[1].replaced_m3, 5.0);
}

TEST(Store, RunsThroughYearsThatDoNotCount) {
    const Timeline timeline = make_series_timeline(RainKind::monthly, Calendar::standard, {2000, 11, 1}, 24, autumn());
    std::vector<double> inflow(24, 0.0);
    std::vector<double> demand(24, 0.0);
    inflow[0] = 8.0;
    demand[21] = 5.0;
    const std::vector<TankYear> second{timeline.years[1]};
    const auto years = run_store(timeline, second, inflow, demand, {10.0, 0.0}, StoreRule::after_spillage);
    ASSERT_EQ(years.size(), 1U);
    EXPECT_EQ(years[0].replaced_m3, 5.0);  // with the water of the first
}

TEST(Store, IsFullOnlyWhenItIsSoBeforeTheForbearanceMonths) {
    const Timeline timeline = make_series_timeline(RainKind::monthly, Calendar::standard, {2000, 11, 1}, 12, autumn());
    const std::vector<double> none(12, 0.0);
    const auto filled = [&](std::size_t month, double inflow_m3) {
        std::vector<double> inflow(12, 0.0);
        inflow[month] = inflow_m3;
        return run_store(timeline, timeline.years, inflow, none, {10.0, 0.0}, StoreRule::after_spillage)[0].filled;
    };
    EXPECT_TRUE(filled(0, 10.0));
    EXPECT_TRUE(filled(8, 10.0));  // July
    EXPECT_FALSE(filled(9, 10.0));
    EXPECT_FALSE(filled(0, 9.999999));
    EXPECT_TRUE(filled(0, 10.0 - 5e-10));
}

TEST(Store, AMeanYearIsRepeatedUntilItsEndNoLongerChanges) {
    const Timeline timeline = make_normals_timeline(autumn());
    std::vector<double> inflow(12, 0.0);
    std::vector<double> demand(12, 0.0);
    inflow[0] = 6.0;
    demand[9] = 5.0;
    // One cubic metre stays each year until the store is full: 1, 2, 3, then 3.5 at the end of every year.
    const auto years = run_store(timeline, timeline.years, inflow, demand, {8.5, 0.0}, StoreRule::after_spillage);
    ASSERT_EQ(years.size(), 1U);
    EXPECT_DOUBLE_EQ(years[0].replaced_m3, 5.0);
    EXPECT_DOUBLE_EQ(years[0].overflow_m3, 1.0);
    EXPECT_TRUE(years[0].filled);
    // A store too large to fill in twenty years: the twentieth is reported.
    const auto large = run_store(timeline, timeline.years, inflow, demand, {25.5, 0.0}, StoreRule::after_spillage);
    EXPECT_DOUBLE_EQ(large[0].overflow_m3, 0.0);
    EXPECT_FALSE(large[0].filled);
    const auto just = run_store(timeline, timeline.years, inflow, demand, {25.0, 0.0}, StoreRule::after_spillage);
    EXPECT_TRUE(just[0].filled);  // 19 left over and 6 of the twentieth winter
}

TEST(Store, WhatAMeanYearGivesDoesNotDependOnTheOtherStores) {
    const Timeline timeline = make_normals_timeline(autumn());
    RandomNumbers random(31);
    std::vector<double> inflow(12);
    std::vector<double> demand(12, 0.0);
    for (double& value : inflow) {
        value = random.between(0.0, 4.0);
    }
    demand[10] = 6.0;
    const std::vector<Store> stores{{1.0, 0.0}, {5.0, 0.0}, {50.0, 2.0}, {200.0, 0.0}, {7.0, 0.5}};
    const auto all = run_stores(timeline, timeline.years, inflow, demand, stores, StoreRule::after_spillage);
    for (std::size_t k = 0; k < stores.size(); ++k) {
        const auto one = run_store(timeline, timeline.years, inflow, demand, stores[k], StoreRule::after_spillage);
        EXPECT_EQ(all[k][0].replaced_m3, one[0].replaced_m3);
        EXPECT_EQ(all[k][0].overflow_m3, one[0].overflow_m3);
        EXPECT_EQ(all[k][0].filled, one[0].filled);
    }
}

TEST(Store, OfNoCountedYearsOrNoStoresGivesNothing) {
    const Timeline timeline = make_normals_timeline(autumn());
    const std::vector<double> none(12, 0.0);
    EXPECT_TRUE(run_store(timeline, {}, none, none, {5.0, 0.0}, StoreRule::after_spillage).empty());
    EXPECT_TRUE(run_stores(timeline, timeline.years, none, none, {}, StoreRule::after_spillage).empty());
}

TEST(Store, BrokenInvariantsAreNoticed) {
    const Timeline timeline = make_series_timeline(RainKind::monthly, Calendar::standard, {2000, 11, 1}, 24, autumn());
    const std::vector<double> good(24, 0.0);
    const std::vector<double> shorter(23, 0.0);
    const std::vector<TankYear> out_of_order{timeline.years[1], timeline.years[0]};
    EXPECT_THROW((void)run_store(timeline, timeline.years, shorter, good, {5.0, 0.0}, StoreRule::after_spillage),
                 Error);
    EXPECT_THROW((void)run_store(timeline, timeline.years, good, shorter, {5.0, 0.0}, StoreRule::after_spillage),
                 Error);
    EXPECT_THROW((void)run_store(timeline, out_of_order, good, good, {5.0, 0.0}, StoreRule::after_spillage), Error);
}

}  // namespace
}  // namespace eaveshed
