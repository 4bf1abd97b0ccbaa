// The years of stores that run side by side, a store a lane, and of several records beside each other: whatever waits
// for its own last stock has others to do meanwhile. Every number is that of step_store. Private to the module.
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <limits>
#include <span>
#include <vector>

#include "eaveshed/core/lanes.hpp"
#include "eaveshed/core/timeline.hpp"
#include "eaveshed/lanes/vectors.hpp"
#include "eaveshed/lanes/wide.hpp"
#include "eaveshed/storage/side_by_side.hpp"
#include "eaveshed/storage/store.hpp"

namespace eaveshed {

inline constexpr double kFilledWithin_m3 = 1e-9;

// The same flows in each lane, one value per step of the record.
struct SharedFlows {
    const double* inflow_m3;
    const double* demand_m3;
    template <typename Wide>
    [[nodiscard, gnu::always_inline]] Wide inflow(std::size_t i) const {
        return Wide::all(inflow_m3[i]);
    }
    template <typename Wide>
    [[nodiscard, gnu::always_inline]] Wide demand(std::size_t i) const {
        return Wide::all(demand_m3[i]);
    }
    [[nodiscard]] bool any_demand(std::size_t begin, std::size_t end) const {
        return std::any_of(demand_m3 + begin, demand_m3 + end, [](double demand) { return demand > 0.0; });
    }
};
// Other flows in each lane.
struct LaneFlows {
    std::span<const VariedSeries> inflow_m3;
    const double* demand_m3;
    Lanes demand_factors;
    template <typename Wide>
    [[nodiscard, gnu::always_inline]] Wide inflow(std::size_t i) const {
        Wide sum = Wide::all(0.0);
        for (const VariedSeries& series : inflow_m3) {
            sum += Wide::all(series.values[i]) * Wide::of(series.factors);
        }
        return sum;
    }
    template <typename Wide>
    [[nodiscard, gnu::always_inline]] Wide demand(std::size_t i) const {
        return Wide::all(demand_m3[i]) * Wide::of(demand_factors);
    }
    [[nodiscard]] bool any_demand(std::size_t begin, std::size_t end) const {
        return std::any_of(demand_m3 + begin, demand_m3 + end, [](double demand) { return demand > 0.0; });
    }
};

// What one year made of the store in each lane.
struct LaneYear {
    Lanes replaced;
    Lanes demand;  // of the forbearance months
    Lanes overflow;
    Lanes headroom;  // least distance to the cap before the first forbearance month
};

// The stores of the lanes, and what stands in them with each of the records.
template <std::size_t records>
struct LaneStores {
    Lanes usable;
    Lanes reserve;
    std::array<Lanes, records> stock;
};

template <typename Wide>
struct WideStep {
    Wide yield;
    Wide overflow;
    Wide headroom;
};

// step_store for every lane. `draws` false: without any demand, where it comes down to the same numbers with less work.
template <StoreRule rule, bool draws, typename Wide>
[[gnu::always_inline]] inline WideStep<Wide> wide_step(const Wide& inflow, const Wide& demand, const Wide& usable,
                                                       const Wide& reserve, Wide& stock) {
    constexpr bool kAfter = rule == StoreRule::after_spillage;
    const Wide zero = Wide::all(0.0);
    const Wide after_inflow = stock + inflow;
    const Wide at_hand = kAfter ? stock : after_inflow;
    const Wide yield = draws ? least(demand, most(zero, at_hand - reserve)) : zero;
    const Wide cap = kAfter && draws ? usable - yield : usable;
    const Wide uncapped = draws ? after_inflow - yield : after_inflow;
    stock = least(uncapped, cap);
    return {yield, uncapped - stock, cap - stock};
}

// NOLINTBEGIN(modernize-avoid-c-arrays): plain arrays of lanes stay in registers in the innermost loops.

// Before the forbearance months. `stock`, `results`: one a record.
template <StoreRule rule, bool draws, typename Wide, typename Flows, std::size_t records>
[[gnu::always_inline]] inline void run_before(const std::array<Flows, records>& flows, const TankYear& year,
                                              const Wide& usable, const Wide& reserve, Wide (&stock)[records],
                                              LaneYear* results) {
    Wide overflow[records];
    Wide headroom[records];
    for (std::size_t k = 0; k < records; ++k) {
        overflow[k] = Wide::all(0.0);
        headroom[k] = Wide::all(std::numeric_limits<double>::infinity());
    }
    for (std::size_t i = year.begin; i < year.first_forbear; ++i) {
#pragma GCC unroll 4
        for (std::size_t k = 0; k < records; ++k) {
            const Wide demand = draws ? flows[k].template demand<Wide>(i) : Wide::all(0.0);
            const auto now =
                wide_step<rule, draws>(flows[k].template inflow<Wide>(i), demand, usable, reserve, stock[k]);
            overflow[k] += now.overflow;
            headroom[k] = least(headroom[k], now.headroom);
        }
    }
    for (std::size_t k = 0; k < records; ++k) {
        overflow[k].to(results[k].overflow);
        headroom[k].to(results[k].headroom);
    }
}

// The forbearance months: one run that ends the tank year.
template <StoreRule rule, typename Wide, typename Flows, std::size_t records>
[[gnu::always_inline]] inline void run_season(const std::array<Flows, records>& flows, const TankYear& year,
                                              const Wide& usable, const Wide& reserve, Wide (&stock)[records],
                                              LaneYear* results) {
    Wide overflow[records];
    Wide replaced[records];
    Wide wanted[records];
    for (std::size_t k = 0; k < records; ++k) {
        overflow[k] = Wide::of(results[k].overflow);
        replaced[k] = wanted[k] = Wide::all(0.0);
    }
    for (std::size_t i = year.first_forbear; i < year.end; ++i) {
#pragma GCC unroll 4
        for (std::size_t k = 0; k < records; ++k) {
            const Wide demand = flows[k].template demand<Wide>(i);
            const auto now =
                wide_step<rule, true>(flows[k].template inflow<Wide>(i), demand, usable, reserve, stock[k]);
            overflow[k] += now.overflow;
            replaced[k] += now.yield;
            wanted[k] += demand;
        }
    }
    for (std::size_t k = 0; k < records; ++k) {
        overflow[k].to(results[k].overflow);
        replaced[k].to(results[k].replaced);
        wanted[k].to(results[k].demand);
    }
}

// `results`: one a record for each year.
template <StoreRule rule, typename Wide, typename Flows, std::size_t records>
[[gnu::always_inline]] inline void run_wide_years(const std::array<Flows, records>& flows,
                                                  std::span<const TankYear> years, LaneStores<records>& stores,
                                                  LaneYear* results) {
    const Wide usable = Wide::of(stores.usable);
    const Wide reserve = Wide::of(stores.reserve);
    Wide stock[records];  // local, so that they can stay in registers
    for (std::size_t k = 0; k < records; ++k) {
        stock[k] = Wide::of(stores.stock[k]);
    }
    for (const TankYear& year : years) {
        const bool draws = std::ranges::any_of(
            flows, [&](const Flows& record) { return record.any_demand(year.begin, year.first_forbear); });
        if (draws) {
            run_before<rule, true>(flows, year, usable, reserve, stock, results);
        } else {
            run_before<rule, false>(flows, year, usable, reserve, stock, results);
        }
        run_season<rule>(flows, year, usable, reserve, stock, results);
        results += records;
    }
    for (std::size_t k = 0; k < records; ++k) {
        stock[k].to(stores.stock[k]);
    }
}
// NOLINTEND(modernize-avoid-c-arrays)

template <typename Flows, std::size_t records>
void run_lane_years(const std::array<Flows, records>& flows, std::span<const TankYear> years, StoreRule rule,
                    LaneStores<records>& stores, LaneYear* results, Vectors vectors) {
    with_vectors(
        vectors, [&]<typename Wide>() __attribute__((always_inline)) {
            rule == StoreRule::after_spillage
                ? run_wide_years<StoreRule::after_spillage, Wide>(flows, years, stores, results)
                : run_wide_years<StoreRule::before_spillage, Wide>(flows, years, stores, results);
        });
}

// Empty stores; spare lanes repeat the last.
template <std::size_t records>
[[nodiscard]] LaneStores<records> empty_stores(std::span<const Store> stores) {
    LaneStores<records> lanes{};
    for (std::size_t k = 0; k < kLanes; ++k) {
        const Store& store = stores[std::min(k, stores.size() - 1)];
        lanes.usable[k] = store.usable_m3;
        lanes.reserve[k] = store.reserve_m3;
    }
    return lanes;
}

// Positions of the counted years among the timeline's.
[[nodiscard]] std::vector<std::size_t> positions_of(std::span<const TankYear> counted, const Timeline& timeline);

// Flows of another length than the timeline are a broken invariant.
void require_length(const Timeline& timeline, std::size_t inflows, std::size_t demands);

}  // namespace eaveshed
