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
#include "eaveshed/storage/store.hpp"

namespace eaveshed {

inline constexpr double kFilledWithin_m3 = 1e-9;

// The same flows in each lane, one value per step of the record.
struct SharedFlows {
    const double* inflow_m3;
    const double* demand_m3;
    [[nodiscard]] Wide inflow(std::size_t i) const { return Wide::all(inflow_m3[i]); }
    [[nodiscard]] Wide demand(std::size_t i) const { return Wide::all(demand_m3[i]); }
    [[nodiscard]] bool any_demand(std::size_t begin, std::size_t end) const {
        return std::any_of(demand_m3 + begin, demand_m3 + end, [](double demand) { return demand > 0.0; });
    }
};
// Flows of its own for each lane.
struct OwnFlows {
    const Lanes* inflow_m3;
    const Lanes* demand_m3;
    [[nodiscard]] Wide inflow(std::size_t i) const { return Wide::of(inflow_m3[i]); }
    [[nodiscard]] Wide demand(std::size_t i) const { return Wide::of(demand_m3[i]); }
    [[nodiscard]] bool any_demand(std::size_t begin, std::size_t end) const {
        return std::any_of(demand_m3 + begin, demand_m3 + end, [](const Lanes& demands) {
            return std::ranges::any_of(demands, [](double demand) { return demand > 0.0; });
        });
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
    Wide usable;
    Wide reserve;
    std::array<Wide, records> stock;
};

struct WideStep {
    Wide yield;
    Wide overflow;
    Wide headroom;
};

// step_store for every lane. `draws` false: without any demand, where it comes down to the same numbers with less work.
template <StoreRule rule, bool draws>
[[gnu::always_inline]] inline WideStep wide_step(const Wide& inflow, const Wide& demand, const Wide& usable,
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

// Before the forbearance months. `results`: one a record.
template <StoreRule rule, bool draws, typename Flows, std::size_t records>
[[gnu::always_inline]] inline void run_before(const std::array<Flows, records>& flows, const TankYear& year,
                                              LaneStores<records>& stores, LaneYear* results) {
    LaneStores<records> in = stores;  // local copies can stay in registers
    std::array<Wide, records> overflow;
    std::array<Wide, records> headroom;
    overflow.fill(Wide::all(0.0));
    headroom.fill(Wide::all(std::numeric_limits<double>::infinity()));
    for (std::size_t i = year.begin; i < year.first_forbear; ++i) {
#pragma GCC unroll 4
        for (std::size_t k = 0; k < records; ++k) {
            const Wide demand = draws ? flows[k].demand(i) : Wide::all(0.0);
            const WideStep now = wide_step<rule, draws>(flows[k].inflow(i), demand, in.usable, in.reserve, in.stock[k]);
            overflow[k] += now.overflow;
            headroom[k] = least(headroom[k], now.headroom);
        }
    }
    stores.stock = in.stock;
    for (std::size_t k = 0; k < records; ++k) {
        overflow[k].to(results[k].overflow);
        headroom[k].to(results[k].headroom);
    }
}

// The forbearance months: one run that ends the tank year.
template <StoreRule rule, typename Flows, std::size_t records>
[[gnu::always_inline]] inline void run_season(const std::array<Flows, records>& flows, const TankYear& year,
                                              LaneStores<records>& stores, LaneYear* results) {
    LaneStores<records> in = stores;
    std::array<Wide, records> overflow;
    std::array<Wide, records> replaced;
    std::array<Wide, records> wanted;
    for (std::size_t k = 0; k < records; ++k) {
        overflow[k] = Wide::of(results[k].overflow);
        replaced[k] = wanted[k] = Wide::all(0.0);
    }
    for (std::size_t i = year.first_forbear; i < year.end; ++i) {
#pragma GCC unroll 4
        for (std::size_t k = 0; k < records; ++k) {
            const Wide demand = flows[k].demand(i);
            const WideStep now = wide_step<rule, true>(flows[k].inflow(i), demand, in.usable, in.reserve, in.stock[k]);
            overflow[k] += now.overflow;
            replaced[k] += now.yield;
            wanted[k] += demand;
        }
    }
    stores.stock = in.stock;
    for (std::size_t k = 0; k < records; ++k) {
        overflow[k].to(results[k].overflow);
        replaced[k].to(results[k].replaced);
        wanted[k].to(results[k].demand);
    }
}

// `results`: one a record for each year.
template <StoreRule rule, typename Flows, std::size_t records>
void run_lane_years(const std::array<Flows, records>& flows, std::span<const TankYear> years,
                    LaneStores<records>& stores, LaneYear* results) {
    for (const TankYear& year : years) {
        const bool draws = std::ranges::any_of(
            flows, [&](const Flows& record) { return record.any_demand(year.begin, year.first_forbear); });
        if (draws) {
            run_before<rule, true>(flows, year, stores, results);
        } else {
            run_before<rule, false>(flows, year, stores, results);
        }
        run_season<rule>(flows, year, stores, results);
        results += records;
    }
}
template <typename Flows, std::size_t records>
void run_lane_years(const std::array<Flows, records>& flows, std::span<const TankYear> years, StoreRule rule,
                    LaneStores<records>& stores, LaneYear* results) {
    rule == StoreRule::after_spillage ? run_lane_years<StoreRule::after_spillage>(flows, years, stores, results)
                                      : run_lane_years<StoreRule::before_spillage>(flows, years, stores, results);
}

// Empty stores; spare lanes repeat the last.
template <std::size_t records>
[[nodiscard]] LaneStores<records> empty_stores(std::span<const Store> stores) {
    Lanes usable{};
    Lanes reserve{};
    for (std::size_t k = 0; k < kLanes; ++k) {
        const Store& store = stores[std::min(k, stores.size() - 1)];
        usable[k] = store.usable_m3;
        reserve[k] = store.reserve_m3;
    }
    LaneStores<records> lanes{Wide::of(usable), Wide::of(reserve), {}};
    lanes.stock.fill(Wide::all(0.0));
    return lanes;
}

// Positions of the counted years among the timeline's.
[[nodiscard]] std::vector<std::size_t> positions_of(std::span<const TankYear> counted, const Timeline& timeline);

// Flows of another length than the timeline are a broken invariant.
void require_length(const Timeline& timeline, std::size_t inflows, std::size_t demands);

}  // namespace eaveshed
