#include "eaveshed/storage/store.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

namespace {

constexpr double kTolerance_m3 = 1e-9;
constexpr int kMostRepeats = 20;

template <StoreRule rule, bool draws>
StoreStep step(double stock, double inflow, double demand, double usable, double reserve) {
    constexpr bool kAfter = rule == StoreRule::after_spillage;
    const double at_hand = kAfter ? stock : stock + inflow;
    const double yield = draws ? std::min(demand, std::max(0.0, at_hand - reserve)) : 0.0;
    const double cap = kAfter ? usable - yield : usable;
    const double uncapped = stock + inflow - yield;
    const double next = std::min(uncapped, cap);
    return {.yield_m3 = yield, .stock_m3 = next, .overflow_m3 = uncapped - next, .cap_m3 = cap};
}

// N stores in step: each waits for its own last result, so the processor works on several at a time. Every store's
// arithmetic is the same for any N.
template <std::size_t N>
struct Lanes {
    std::array<double, N> usable{};
    std::array<double, N> reserve{};
    std::array<double, N> stock{};
    // Of the current year:
    std::array<double, N> replaced{};
    std::array<double, N> overflow{};
    std::array<double, N> headroom{};  // least distance to the cap before the first forbearance month
};

// One inflow and one demand per step of the record.
struct Flows {
    std::span<const double> inflow_m3;
    std::span<const double> demand_m3;
};

// Before the forbearance months. `draws` false: without any demand, where the step comes down to the same numbers with
// less work.
template <StoreRule rule, bool draws, std::size_t N>
void run_before(const Flows& flows, const TankYear& year, Lanes<N>& outside) {
    Lanes<N> lanes = outside;  // a local copy can stay in registers
    for (std::size_t i = year.begin; i < year.first_forbear; ++i) {
        const double inflow = flows.inflow_m3[i];
        const double demand = draws ? flows.demand_m3[i] : 0.0;
        for (std::size_t k = 0; k < N; ++k) {
            const StoreStep now = step<rule, draws>(lanes.stock[k], inflow, demand, lanes.usable[k], lanes.reserve[k]);
            lanes.stock[k] = now.stock_m3;
            lanes.overflow[k] += now.overflow_m3;
            lanes.headroom[k] = std::min(lanes.headroom[k], now.cap_m3 - now.stock_m3);
        }
    }
    outside = lanes;
}

// The forbearance months: one run that ends the tank year.
template <StoreRule rule, std::size_t N>
void run_season(const Flows& flows, const TankYear& year, Lanes<N>& outside) {
    Lanes<N> lanes = outside;
    for (std::size_t i = year.first_forbear; i < year.end; ++i) {
        const double inflow = flows.inflow_m3[i];
        const double demand = flows.demand_m3[i];
        for (std::size_t k = 0; k < N; ++k) {
            const StoreStep now = step<rule, true>(lanes.stock[k], inflow, demand, lanes.usable[k], lanes.reserve[k]);
            lanes.stock[k] = now.stock_m3;
            lanes.overflow[k] += now.overflow_m3;
            lanes.replaced[k] += now.yield_m3;
        }
    }
    outside = lanes;
}

template <StoreRule rule, std::size_t N>
void run_year(const Flows& flows, const TankYear& year, Lanes<N>& lanes) {
    lanes.replaced.fill(0.0);
    lanes.overflow.fill(0.0);
    lanes.headroom.fill(std::numeric_limits<double>::infinity());
    const auto before = flows.demand_m3.subspan(year.begin, year.first_forbear - year.begin);
    if (std::any_of(before.begin(), before.end(), [](double demand) { return demand > 0.0; })) {
        run_before<rule, true>(flows, year, lanes);
    } else {
        run_before<rule, false>(flows, year, lanes);
    }
    run_season<rule>(flows, year, lanes);
}

template <std::size_t N>
YearOfStore report(const Lanes<N>& lanes, std::size_t lane, double season_demand_m3) {
    return {.replaced_m3 = lanes.replaced[lane],
            .demand_m3 = season_demand_m3,
            .overflow_m3 = lanes.overflow[lane],
            .filled = lanes.headroom[lane] <= kTolerance_m3};
}

template <std::size_t N>
Lanes<N> empty_lanes(std::span<const Store> stores) {
    Lanes<N> lanes;
    for (std::size_t k = 0; k < N; ++k) {
        const Store& store = stores[std::min(k, stores.size() - 1)];  // spare lanes repeat the last store
        lanes.usable[k] = store.usable_m3;
        lanes.reserve[k] = store.reserve_m3;
    }
    return lanes;
}

// The record of one run, as all stores see it.
struct Record {
    const Timeline& timeline;
    std::span<const TankYear> counted;
    Flows flows;
    std::vector<double> season_demand_m3;  // per counted year
};

// `out` has one list per store, at most N.
template <StoreRule rule, std::size_t N>
void run_series(const Record& record, std::span<const Store> stores, std::span<std::vector<YearOfStore>> out) {
    auto lanes = empty_lanes<N>(stores);
    std::size_t next_counted = 0;
    for (const TankYear& year : record.timeline.years) {
        run_year<rule>(record.flows, year, lanes);
        if (next_counted == record.counted.size() || record.counted[next_counted].begin != year.begin) {
            continue;
        }
        for (std::size_t k = 0; k < stores.size(); ++k) {
            out[k].push_back(report(lanes, k, record.season_demand_m3[next_counted]));
        }
        ++next_counted;
    }
    if (next_counted != record.counted.size()) {
        internal_error("a counted year that is none of the timeline's, or out of order");
    }
}

// One store at a time: each stops after its own number of repeats.
template <StoreRule rule>
std::vector<YearOfStore> run_mean_year(const Record& record, const Store& store) {
    if (record.counted.empty()) {
        return {};
    }
    auto lanes = empty_lanes<1>({&store, 1});
    for (int repeat = 0; repeat < kMostRepeats; ++repeat) {
        const double before = lanes.stock[0];
        run_year<rule>(record.flows, record.timeline.years.front(), lanes);
        if (std::abs(lanes.stock[0] - before) < kTolerance_m3) {
            break;
        }
    }
    return {report(lanes, 0, record.season_demand_m3.front())};
}

template <StoreRule rule>
void run_all(const Record& record, std::span<const Store> stores, std::span<std::vector<YearOfStore>> out) {
    constexpr std::size_t kLanes = 4;
    for (std::size_t first = 0; first < stores.size(); first += record.timeline.is_series() ? kLanes : 1) {
        if (!record.timeline.is_series()) {
            out[first] = run_mean_year<rule>(record, stores[first]);
        } else if (stores.size() - first == 1) {
            run_series<rule, 1>(record, stores.subspan(first), out.subspan(first));
        } else {
            const std::size_t count = std::min(kLanes, stores.size() - first);
            run_series<rule, kLanes>(record, stores.subspan(first, count), out.subspan(first, count));
        }
    }
}

std::vector<double> season_demands_m3(std::span<const TankYear> years, std::span<const double> demand_m3) {
    std::vector<double> sums;
    sums.reserve(years.size());
    for (const TankYear& year : years) {
        double sum = 0.0;
        for (std::size_t i = year.first_forbear; i < year.end; ++i) {
            sum += demand_m3[i];
        }
        sums.push_back(sum);
    }
    return sums;
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
    if (inflow_m3.size() != timeline.steps.size() || demand_m3.size() != timeline.steps.size()) {
        internal_error("inflow, demand and timeline of different lengths");
    }
    const Record record{timeline, counted, {inflow_m3, demand_m3}, season_demands_m3(counted, demand_m3)};
    std::vector<std::vector<YearOfStore>> years(stores.size());
    if (rule == StoreRule::after_spillage) {
        run_all<StoreRule::after_spillage>(record, stores, years);
    } else {
        run_all<StoreRule::before_spillage>(record, stores, years);
    }
    return years;
}

std::vector<YearOfStore> run_store(const Timeline& timeline, std::span<const TankYear> counted,
                                   std::span<const double> inflow_m3, std::span<const double> demand_m3, Store store,
                                   StoreRule rule) {
    return run_stores(timeline, counted, inflow_m3, demand_m3, {&store, 1}, rule).front();
}

}  // namespace eaveshed
