#include "eaveshed/storage/store.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "eaveshed/core/error.hpp"
#include "lane_years.hpp"

namespace eaveshed {

namespace {

constexpr int kMostRepeats = 20;

YearOfStore report(const LaneYear& year, std::size_t lane) {
    return {.replaced_m3 = year.replaced[lane],
            .demand_m3 = year.demand[lane],
            .overflow_m3 = year.overflow[lane],
            .filled = year.headroom[lane] <= kFilledWithin_m3};
}

// One after another: each stops after its own number of repeats.
std::vector<YearOfStore> run_mean_year(const SharedFlows& flows, const Timeline& timeline, const Store& store,
                                       StoreRule rule) {
    auto lanes = empty_stores<1>({&store, 1});
    LaneYear year;
    for (int repeat = 0; repeat < kMostRepeats; ++repeat) {
        const double before = lanes.stock[0][0];
        run_lane_years(std::array{flows}, std::span(timeline.years).first(1), rule, lanes, &year, widest_vectors());
        if (std::abs(lanes.stock[0][0] - before) < kFilledWithin_m3) {
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

}  // namespace

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

void require_length(const Timeline& timeline, std::size_t inflows, std::size_t demands) {
    if (inflows != timeline.steps.size() || demands != timeline.steps.size()) {
        internal_error("inflow, demand and timeline of different lengths");
    }
}

StoreStep step_store(double stock_m3, double inflow_m3, double demand_m3, Store store, StoreRule rule) {
    const bool after = rule == StoreRule::after_spillage;
    const double at_hand = after ? stock_m3 : stock_m3 + inflow_m3;
    const double yield = std::min(demand_m3, std::max(0.0, at_hand - store.reserve_m3));
    const double cap = after ? store.usable_m3 - yield : store.usable_m3;
    const double uncapped = stock_m3 + inflow_m3 - yield;
    const double next = std::min(uncapped, cap);
    return {.yield_m3 = yield, .stock_m3 = next, .overflow_m3 = uncapped - next, .cap_m3 = cap};
}

std::vector<std::vector<YearOfStore>> run_stores(const Timeline& timeline, std::span<const TankYear> counted,
                                                 std::span<const double> inflow_m3, std::span<const double> demand_m3,
                                                 std::span<const Store> stores, StoreRule rule) {
    require_length(timeline, inflow_m3.size(), demand_m3.size());
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
        auto lanes = empty_stores<1>(stores.subspan(first));
        run_lane_years(std::array{flows}, timeline.years, rule, lanes, years.data(), widest_vectors());
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

}  // namespace eaveshed
