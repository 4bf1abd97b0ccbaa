#include "eaveshed/storage/store_months.hpp"

#include <algorithm>
#include <cmath>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

namespace {

// As run_store ends the repeats of a mean year.
constexpr double kSameStock_m3 = 1e-9;
constexpr int kMostYears = 20;

// One year from a stock, which is left as it is at the year's end.
StoreYear months_of(const Timeline& timeline, const TankYear& year, const Flows& flows, Store store, StoreRule rule,
                    double& stock_m3) {
    StoreYear months;
    for (std::size_t i = year.begin; i < year.end; ++i) {
        const Step& step = timeline.steps[i];
        if (months.empty() || months.back().month != step.month) {
            months.push_back({.month = step.month, .stock_start_m3 = stock_m3});
        }
        const StoreStep now = step_store(stock_m3, flows.inflow_m3[i], flows.demand_m3[i], store, rule);
        StoreMonth& month = months.back();
        month.days += step.days;
        month.demand_m3 += flows.demand_m3[i];
        month.inflow_m3 += flows.inflow_m3[i];
        month.taken_m3 += now.yield_m3;
        month.overflow_m3 += now.overflow_m3;
        month.stock_end_m3 = stock_m3 = now.stock_m3;
    }
    return months;
}

}  // namespace

std::vector<StoreYear> store_months(const Timeline& timeline, std::span<const TankYear> counted, const Flows& flows,
                                    Store store, StoreRule rule) {
    if (flows.inflow_m3.size() != timeline.steps.size() || flows.demand_m3.size() != timeline.steps.size()) {
        internal_error("months of a store with flows of another length than its timeline");
    }
    std::vector<StoreYear> years;
    double stock_m3 = 0.0;
    if (!timeline.is_series()) {
        StoreYear year;
        for (int repeat = 0; repeat < kMostYears && !counted.empty(); ++repeat) {
            const double before = stock_m3;
            year = months_of(timeline, timeline.years.front(), flows, store, rule, stock_m3);
            if (std::abs(stock_m3 - before) < kSameStock_m3) {
                break;
            }
        }
        years.assign(counted.size(), year);
        return years;
    }
    for (const TankYear& year : timeline.years) {
        StoreYear months = months_of(timeline, year, flows, store, rule, stock_m3);
        if (std::ranges::find(counted, year.begin, &TankYear::begin) != counted.end()) {
            years.push_back(std::move(months));
        }
    }
    return years;
}

}  // namespace eaveshed
