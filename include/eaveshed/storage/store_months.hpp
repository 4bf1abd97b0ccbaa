// A store's years month by month: the water balance that people are shown.
#pragma once

#include <span>
#include <vector>

#include "eaveshed/storage/store.hpp"

namespace eaveshed {

// One month of one tank year, m3: stock_end = stock_start + inflow - taken - overflow, to rounding.
struct StoreMonth {
    int month = 1;  // 1..12
    int days = 0;
    double demand_m3 = 0.0;
    double inflow_m3 = 0.0;
    double taken_m3 = 0.0;
    double overflow_m3 = 0.0;
    double stock_start_m3 = 0.0;
    double stock_end_m3 = 0.0;
};
using StoreYear = std::vector<StoreMonth>;  // in order of time: of a tank year twelve

// The very steps of run_store (store.hpp), added up by months: one entry per year of `counted`, which are years of the
// timeline in its order. Of monthly normals the year that run_store reports.
// method.md 5.13.
[[nodiscard]] std::vector<StoreYear> store_months(const Timeline& timeline, std::span<const TankYear> counted,
                                                  const Flows& flows, Store store, StoreRule rule);

}  // namespace eaveshed
