#include "eaveshed/storage/store.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/lanes.hpp"

namespace eaveshed {

namespace {

constexpr double kTolerance_m3 = 1e-9;
constexpr int kMostRepeats = 20;

template <StoreRule rule, bool draws>
[[gnu::always_inline]] inline StoreStep step(double stock, double inflow, double demand, double usable,
                                             double reserve) {
    constexpr bool kAfter = rule == StoreRule::after_spillage;
    const double at_hand = kAfter ? stock : stock + inflow;
    const double yield = draws ? std::min(demand, std::max(0.0, at_hand - reserve)) : 0.0;
    const double cap = kAfter ? usable - yield : usable;
    const double uncapped = stock + inflow - yield;
    const double next = std::min(uncapped, cap);
    return {.yield_m3 = yield, .stock_m3 = next, .overflow_m3 = uncapped - next, .cap_m3 = cap};
}

// The flows of each lane, one value per step of the record.
struct SharedFlows {
    const double* inflow_m3;
    const double* demand_m3;
    [[nodiscard]] double inflow(std::size_t i, std::size_t /*lane*/) const { return inflow_m3[i]; }
    [[nodiscard]] double demand(std::size_t i, std::size_t /*lane*/) const { return demand_m3[i]; }
    [[nodiscard]] bool any_demand(std::size_t begin, std::size_t end) const {
        return std::any_of(demand_m3 + begin, demand_m3 + end, [](double demand) { return demand > 0.0; });
    }
};
struct OwnFlows {
    std::array<const double*, kLanes> inflow_m3;
    std::array<const double*, kLanes> demand_m3;
    [[nodiscard]] double inflow(std::size_t i, std::size_t lane) const { return inflow_m3[lane][i]; }
    [[nodiscard]] double demand(std::size_t i, std::size_t lane) const { return demand_m3[lane][i]; }
    [[nodiscard]] bool any_demand(std::size_t begin, std::size_t end) const {
        return std::ranges::any_of(demand_m3, [&](const double* demand) {
            return std::any_of(demand + begin, demand + end, [](double value) { return value > 0.0; });
        });
    }
};

// What stands in one store a lane, and what the current year made of it.
struct LaneStores {
    Lanes usable{};
    Lanes reserve{};
    Lanes stock{};
};
struct LaneYear {
    Lanes replaced{};
    Lanes demand{};  // of the forbearance months
    Lanes overflow{};
    Lanes headroom{};  // least distance to the cap before the first forbearance month
};

// Before the forbearance months. `draws` false: without any demand, where the step comes down to the same numbers with
// less work.
template <StoreRule rule, bool draws, typename Flows>
[[gnu::always_inline]] inline void run_before(const Flows& flows, const TankYear& year, LaneStores& stores,
                                              LaneYear& result) {
    LaneStores in = stores;  // local copies can stay in registers
    LaneYear out = result;
    for (std::size_t i = year.begin; i < year.first_forbear; ++i) {
        for (std::size_t k = 0; k < kLanes; ++k) {
            const StoreStep now = step<rule, draws>(in.stock[k], flows.inflow(i, k), draws ? flows.demand(i, k) : 0.0,
                                                    in.usable[k], in.reserve[k]);
            in.stock[k] = now.stock_m3;
            out.overflow[k] += now.overflow_m3;
            const double headroom = now.cap_m3 - now.stock_m3;
            out.headroom[k] = headroom < out.headroom[k] ? headroom : out.headroom[k];
        }
    }
    stores = in;
    result = out;
}

// The forbearance months: one run that ends the tank year.
template <StoreRule rule, typename Flows>
[[gnu::always_inline]] inline void run_season(const Flows& flows, const TankYear& year, LaneStores& stores,
                                              LaneYear& result) {
    LaneStores in = stores;
    LaneYear out = result;
    for (std::size_t i = year.first_forbear; i < year.end; ++i) {
        for (std::size_t k = 0; k < kLanes; ++k) {
            const StoreStep now =
                step<rule, true>(in.stock[k], flows.inflow(i, k), flows.demand(i, k), in.usable[k], in.reserve[k]);
            in.stock[k] = now.stock_m3;
            out.overflow[k] += now.overflow_m3;
            out.replaced[k] += now.yield_m3;
            out.demand[k] += flows.demand(i, k);
        }
    }
    stores = in;
    result = out;
}

template <StoreRule rule, typename Flows>
[[gnu::always_inline]] inline void run_year(const Flows& flows, const TankYear& year, LaneStores& stores,
                                            LaneYear& result) {
    result.replaced.fill(0.0);
    result.demand.fill(0.0);
    result.overflow.fill(0.0);
    result.headroom.fill(std::numeric_limits<double>::infinity());
    if (flows.any_demand(year.begin, year.first_forbear)) {
        run_before<rule, true>(flows, year, stores, result);
    } else {
        run_before<rule, false>(flows, year, stores, result);
    }
    run_season<rule>(flows, year, stores, result);
}

template <StoreRule rule, typename Flows>
[[gnu::always_inline]] inline void run_all_years(const Flows& flows, std::span<const TankYear> years,
                                                 LaneStores& stores, LaneYear* results) {
    for (const TankYear& year : years) {
        run_year<rule>(flows, year, stores, *results++);
    }
}

// One result per year. Four functions, because only functions that are no templates come in several widths.
EAVESHED_WIDEN void run_shared_after(const SharedFlows& flows, std::span<const TankYear> years, LaneStores& stores,
                                     LaneYear* results) {
    run_all_years<StoreRule::after_spillage>(flows, years, stores, results);
}
EAVESHED_WIDEN void run_shared_before(const SharedFlows& flows, std::span<const TankYear> years, LaneStores& stores,
                                      LaneYear* results) {
    run_all_years<StoreRule::before_spillage>(flows, years, stores, results);
}
EAVESHED_WIDEN void run_own_after(const OwnFlows& flows, std::span<const TankYear> years, LaneStores& stores,
                                  LaneYear* results) {
    run_all_years<StoreRule::after_spillage>(flows, years, stores, results);
}
EAVESHED_WIDEN void run_own_before(const OwnFlows& flows, std::span<const TankYear> years, LaneStores& stores,
                                   LaneYear* results) {
    run_all_years<StoreRule::before_spillage>(flows, years, stores, results);
}

void run_years(const SharedFlows& flows, std::span<const TankYear> years, StoreRule rule, LaneStores& stores,
               LaneYear* results) {
    rule == StoreRule::after_spillage ? run_shared_after(flows, years, stores, results)
                                      : run_shared_before(flows, years, stores, results);
}
void run_years(const OwnFlows& flows, std::span<const TankYear> years, StoreRule rule, LaneStores& stores,
               LaneYear* results) {
    rule == StoreRule::after_spillage ? run_own_after(flows, years, stores, results)
                                      : run_own_before(flows, years, stores, results);
}

YearOfStore report(const LaneYear& year, std::size_t lane) {
    return {.replaced_m3 = year.replaced[lane],
            .demand_m3 = year.demand[lane],
            .overflow_m3 = year.overflow[lane],
            .filled = year.headroom[lane] <= kTolerance_m3};
}

// Spare lanes repeat the last store.
LaneStores empty_stores(std::span<const Store> stores) {
    LaneStores lanes;
    for (std::size_t k = 0; k < kLanes; ++k) {
        const Store& store = stores[std::min(k, stores.size() - 1)];
        lanes.usable[k] = store.usable_m3;
        lanes.reserve[k] = store.reserve_m3;
    }
    return lanes;
}

// Positions of the counted years among the timeline's.
std::vector<std::size_t> positions_of(std::span<const TankYear> counted, const Timeline& timeline) {
    std::vector<std::size_t> positions;
    positions.reserve(counted.size());
    for (std::size_t i = 0; i < timeline.years.size() && positions.size() < counted.size(); ++i) {
        if (counted[positions.size()].begin == timeline.years[i].begin) {
            positions.push_back(i);
        }
    }
    if (positions.size() != counted.size()) {
        internal_error("a counted year that is none of the timeline's, or out of order");
    }
    return positions;
}

// One after another: each stops after its own number of repeats.
std::vector<YearOfStore> run_mean_year(const SharedFlows& flows, const Timeline& timeline, const Store& store,
                                       StoreRule rule) {
    LaneStores lanes = empty_stores({&store, 1});
    LaneYear year;
    for (int repeat = 0; repeat < kMostRepeats; ++repeat) {
        const double before = lanes.stock[0];
        run_years(flows, std::span(timeline.years).first(1), rule, lanes, &year);
        if (std::abs(lanes.stock[0] - before) < kTolerance_m3) {
            break;
        }
    }
    return {report(year, 0)};
}

std::vector<YearOfStore> counted_years_of(std::span<const LaneYear> years, std::span<const std::size_t> positions,
                                          std::size_t lane) {
    std::vector<YearOfStore> counted;
    counted.reserve(positions.size());
    for (const std::size_t position : positions) {
        counted.push_back(report(years[position], lane));
    }
    return counted;
}

void require_same_length(const Timeline& timeline, const Flows& flows) {
    if (flows.inflow_m3.size() != timeline.steps.size() || flows.demand_m3.size() != timeline.steps.size()) {
        internal_error("inflow, demand and timeline of different lengths");
    }
}

}  // namespace

StoreStep step_store(double stock_m3, double inflow_m3, double demand_m3, Store store, StoreRule rule) {
    return rule == StoreRule::after_spillage ? step<StoreRule::after_spillage, true>(stock_m3, inflow_m3, demand_m3,
                                                                                     store.usable_m3, store.reserve_m3)
                                             : step<StoreRule::before_spillage, true>(
                                                   stock_m3, inflow_m3, demand_m3, store.usable_m3, store.reserve_m3);
}

std::vector<std::vector<YearOfStore>> run_stores(const Timeline& timeline, std::span<const TankYear> counted,
                                                 std::span<const double> inflow_m3, std::span<const double> demand_m3,
                                                 std::span<const Store> stores, StoreRule rule) {
    require_same_length(timeline, {inflow_m3, demand_m3});
    std::vector<std::vector<YearOfStore>> out(stores.size());
    if (counted.empty()) {
        return out;
    }
    const SharedFlows flows{inflow_m3.data(), demand_m3.data()};
    if (!timeline.is_series()) {
        for (std::size_t i = 0; i < stores.size(); ++i) {
            out[i] = run_mean_year(flows, timeline, stores[i], rule);
        }
        return out;
    }
    const std::vector<std::size_t> positions = positions_of(counted, timeline);
    std::vector<LaneYear> years(timeline.years.size());
    for (std::size_t first = 0; first < stores.size(); first += kLanes) {
        LaneStores lanes = empty_stores(stores.subspan(first));
        run_years(flows, timeline.years, rule, lanes, years.data());
        for (std::size_t lane = 0; lane < std::min(kLanes, stores.size() - first); ++lane) {
            out[first + lane] = counted_years_of(years, positions, lane);
        }
    }
    return out;
}

std::vector<YearOfStore> run_store(const Timeline& timeline, std::span<const TankYear> counted,
                                   std::span<const double> inflow_m3, std::span<const double> demand_m3, Store store,
                                   StoreRule rule) {
    return run_stores(timeline, counted, inflow_m3, demand_m3, {&store, 1}, rule).front();
}

std::vector<std::vector<YearOfStore>> run_records(const Timeline& timeline, std::span<const TankYear> counted,
                                                  std::span<const Flows> records, Store store, StoreRule rule) {
    std::vector<std::vector<YearOfStore>> out(records.size());
    if (!timeline.is_series()) {
        for (std::size_t i = 0; i < records.size(); ++i) {
            out[i] = run_store(timeline, counted, records[i].inflow_m3, records[i].demand_m3, store, rule);
        }
        return out;
    }
    const std::vector<std::size_t> positions = positions_of(counted, timeline);
    std::vector<LaneYear> years(timeline.years.size());
    for (std::size_t first = 0; first < records.size(); first += kLanes) {
        OwnFlows flows{};
        for (std::size_t lane = 0; lane < kLanes; ++lane) {  // spare lanes repeat the last record
            const Flows& record = records[std::min(first + lane, records.size() - 1)];
            require_same_length(timeline, record);
            flows.inflow_m3[lane] = record.inflow_m3.data();
            flows.demand_m3[lane] = record.demand_m3.data();
        }
        LaneStores lanes = empty_stores({&store, 1});
        run_years(flows, timeline.years, rule, lanes, years.data());
        for (std::size_t lane = 0; lane < std::min(kLanes, records.size() - first); ++lane) {
            out[first + lane] = counted_years_of(years, positions, lane);
        }
    }
    return out;
}

}  // namespace eaveshed
