#include "eaveshed/storage/side_by_side.hpp"

#include <algorithm>
#include <array>

#include "eaveshed/lanes/lane_statistics.hpp"
#include "lane_years.hpp"

namespace eaveshed {

namespace {

// Of the counted years of one record, a store a lane.
struct YearTotals {
    Lanes yield;
    Lanes demand;
    Lanes overflow;
    Lanes seasons_met;
    Lanes winters_full;
};

// `years`: every `stride`th is of this record. The yields of each year, too, into `replaced`.
template <typename Wide>
[[gnu::always_inline]] inline void add_years(const LaneYear* years, std::size_t stride,
                                             std::span<const std::size_t> positions, Lanes* replaced,
                                             YearTotals& totals) {
    const Wide within = Wide::all(kMetWithin_m3);
    const Wide filled_within = Wide::all(kFilledWithin_m3);
    const Wide one = Wide::all(1.0);
    const Wide none = Wide::all(0.0);
    Wide yield = none;
    Wide demand = none;
    Wide overflow = none;
    Wide met = none;
    Wide full = none;
    for (const std::size_t position : positions) {
        const LaneYear& year = years[position * stride];
        *replaced++ = year.replaced;
        yield += Wide::of(year.replaced);
        demand += Wide::of(year.demand);
        overflow += Wide::of(year.overflow);
        met += where_reached(Wide::of(year.replaced), Wide::of(year.demand) - within, one, none);
        full += where_reached(filled_within, Wide::of(year.headroom), one, none);
    }
    yield.to(totals.yield);
    demand.to(totals.demand);
    overflow.to(totals.overflow);
    met.to(totals.seasons_met);
    full.to(totals.winters_full);
}

// The numbers of behaviour(), a store a lane.
std::array<Behaviour, kLanes> behaviours_of(const LaneYear* years, std::size_t stride,
                                            std::span<const std::size_t> positions, double reliability,
                                            Vectors vectors) {
    std::vector<Lanes> replaced(positions.size());
    YearTotals totals;
    with_vectors(
        vectors, [&]<typename Wide>() __attribute__((always_inline)) {
            add_years<Wide>(years, stride, positions, replaced.data(), totals);
        });
    const LaneStatistics statistics = lane_statistics(replaced, reliability, vectors);
    const auto count = static_cast<double>(positions.size());
    std::array<Behaviour, kLanes> behaviours;
    for (std::size_t k = 0; k < kLanes; ++k) {
        behaviours[k] = {.replaced_mean_m3 = statistics.mean[k],
                         .replaced_dependable_m3 = statistics.dependable[k],
                         .replaced_worst_m3 = statistics.worst[k],
                         .season_reliability = totals.seasons_met[k] / count,
                         .volume_reliability = totals.demand[k] > 0.0 ? totals.yield[k] / totals.demand[k] : 1.0,
                         .full_winters_share = totals.winters_full[k] / count,
                         .overflow_mean_m3 = totals.overflow[k] / count,
                         .seasons_met = static_cast<int>(totals.seasons_met[k]),
                         .seasons = static_cast<int>(positions.size())};
    }
    return behaviours;
}

// At most `beside` records; spare places repeat the last. `out`: one list a record.
template <std::size_t beside>
void run_beside(const Timeline& timeline, std::span<const CountedFlows> records, std::span<const Store> stores,
                StoreRule rule, double reliability, std::span<std::vector<Behaviour>> out, Vectors vectors) {
    std::array<SharedFlows, beside> flows{};
    std::vector<std::vector<std::size_t>> positions;
    for (std::size_t k = 0; k < beside; ++k) {
        const CountedFlows& record = records[std::min(k, records.size() - 1)];
        require_length(timeline, record.flows.inflow_m3.size(), record.flows.demand_m3.size());
        flows[k] = {record.flows.inflow_m3.data(), record.flows.demand_m3.data()};
        positions.push_back(positions_of(record.counted, timeline));
    }
    std::vector<LaneYear> years(timeline.years.size() * beside);
    for (std::size_t first = 0; first < stores.size(); first += kLanes) {
        auto lanes = empty_stores<beside>(stores.subspan(first));
        run_lane_years(flows, timeline.years, rule, lanes, years.data(), vectors);
        for (std::size_t k = 0; k < records.size(); ++k) {
            const auto done = behaviours_of(years.data() + k, beside, positions[k], reliability, vectors);
            const std::size_t count = std::min(kLanes, stores.size() - first);
            out[k].insert(out[k].end(), done.begin(), done.begin() + static_cast<std::ptrdiff_t>(count));
        }
    }
}

Behaviour behaviour_of(const Timeline& timeline, const CountedFlows& record, Store store, StoreRule rule,
                       double reliability) {
    return behaviour(run_store(timeline, record.counted, record.flows.inflow_m3, record.flows.demand_m3, store, rule),
                     reliability);
}

}  // namespace

std::vector<std::vector<Behaviour>> behaviours(const Timeline& timeline, std::span<const CountedFlows> records,
                                               std::span<const Store> stores, StoreRule rule, double reliability,
                                               Vectors vectors) {
    std::vector<std::vector<Behaviour>> out(records.size());
    if (!timeline.is_series()) {
        for (std::size_t i = 0; i < records.size(); ++i) {
            for (const Store& store : stores) {
                out[i].push_back(behaviour_of(timeline, records[i], store, rule, reliability));
            }
        }
        return out;
    }
    constexpr std::size_t kMost = 4;  // more stocks than that find no place in the registers
    for (std::size_t first = 0; first < records.size(); first += kMost) {
        const std::size_t count = std::min(kMost, records.size() - first);
        const auto run = count == 1 ? run_beside<1> : count == 2 ? run_beside<2> : run_beside<kMost>;
        run(timeline, records.subspan(first, count), stores, rule, reliability, std::span(out).subspan(first, count),
            vectors);
    }
    return out;
}

std::array<Behaviour, kLanes> lane_behaviours(const Timeline& timeline, std::span<const TankYear> counted,
                                              const VariedFlows& flows, Store store, StoreRule rule, double reliability,
                                              Vectors vectors) {
    for (const VariedSeries& inflow : flows.inflow_m3) {
        require_length(timeline, inflow.values.size(), flows.demand_m3.values.size());
    }
    if (!timeline.is_series()) {
        std::array<Behaviour, kLanes> out;
        for (std::size_t lane = 0; lane < kLanes; ++lane) {
            std::vector<double> inflow(timeline.steps.size());
            std::vector<double> demand(timeline.steps.size());
            for (std::size_t i = 0; i < inflow.size(); ++i) {
                for (const VariedSeries& series : flows.inflow_m3) {
                    inflow[i] += series.values[i] * series.factors[lane];
                }
                demand[i] = flows.demand_m3.values[i] * flows.demand_m3.factors[lane];
            }
            out[lane] = behaviour_of(timeline, {{inflow, demand}, counted}, store, rule, reliability);
        }
        return out;
    }
    std::vector<LaneYear> years(timeline.years.size());
    auto lanes = empty_stores<1>({&store, 1});
    const LaneFlows of_lanes{flows.inflow_m3, flows.demand_m3.values.data(), flows.demand_m3.factors};
    run_lane_years(std::array{of_lanes}, timeline.years, rule, lanes, years.data(), vectors);
    return behaviours_of(years.data(), 1, positions_of(counted, timeline), reliability, vectors);
}

}  // namespace eaveshed
