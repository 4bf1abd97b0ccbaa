// The water balance of a store, step by step.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "eaveshed/core/choices.hpp"
#include "eaveshed/core/timeline.hpp"

namespace eaveshed {

// Whether the store gives before or after it takes in and spills (Jenkins, Pearson, Moore, Sun and Valentine 1978,
// Feasibility of rainwater collection systems in California; Fewkes and Butler 2000, Building Services Engineering
// Research and Technology 21: yield after and yield before spillage). After spillage is the cautious one.

// 0 <= reserve_m3 < usable_m3.
struct Store {
    double usable_m3 = 0.0;   // V, above the outlet
    double reserve_m3 = 0.0;  // R, never given out
};

struct StoreStep {
    double yield_m3 = 0.0;
    double stock_m3 = 0.0;  // at the end of the step
    double overflow_m3 = 0.0;
    double cap_m3 = 0.0;  // the most that the stock could have been at the end of the step
};

// One step from `stock_m3`; inflow Q and demand D in m3 of the step, not negative. stock + Q = yield + overflow + new
// stock, to rounding.
//   after spillage:  Y = min(D, max(0, S - R));      S' = min(S + Q - Y, V - Y)
//   before spillage: Y = min(D, max(0, S + Q - R));  S' = min(S + Q - Y, V)
// method.md 5.3, 5.4.
[[nodiscard]] StoreStep step_store(double stock_m3, double inflow_m3, double demand_m3, Store store, StoreRule rule);

// One counted tank year.
struct YearOfStore {
    double replaced_m3 = 0.0;  // yield of the forbearance months
    double demand_m3 = 0.0;    // demand of the forbearance months
    double overflow_m3 = 0.0;  // of the whole tank year
    bool filled = false;       // some step before the first forbearance month ends at its cap, to 1e-9 m3
};

// The store from the first day of the first complete tank year, empty, to the end of the last, through the years that
// do not count; one entry per year of `counted`, which are years of the timeline in its order. Monthly normals: the
// mean year again and again, from empty, until the stock at its end changes by less than 1e-9 m3 (at most 20 times);
// the last is reported. `inflow_m3` and `demand_m3` have one value per step; demand is 0 outside the draw months
// (demand/demand.hpp sees to that).
// method.md 5.5.
[[nodiscard]] std::vector<YearOfStore> run_store(const Timeline& timeline, std::span<const TankYear> counted,
                                                 std::span<const double> inflow_m3, std::span<const double> demand_m3,
                                                 Store store, StoreRule rule);

// The same for several stores on one record, several times faster than one by one and equal to that to the last bit.
// One list per store.
[[nodiscard]] std::vector<std::vector<YearOfStore>> run_stores(const Timeline& timeline,
                                                               std::span<const TankYear> counted,
                                                               std::span<const double> inflow_m3,
                                                               std::span<const double> demand_m3,
                                                               std::span<const Store> stores, StoreRule rule);

// One inflow and one demand per step of the record, m3.
struct Flows {
    std::span<const double> inflow_m3;
    std::span<const double> demand_m3;
};

}  // namespace eaveshed
