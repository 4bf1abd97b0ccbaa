// What the storages of the catalogue make of a record, and the columns that follow from the one that is chosen.
#include <span>
#include <utility>
#include <vector>

#include "eaveshed/core/year_statistics.hpp"
#include "eaveshed/rain/years.hpp"
#include "eaveshed/site/water.hpp"
#include "eaveshed/storage/recommend.hpp"
#include "eaveshed/storage/side_by_side.hpp"

namespace eaveshed {

namespace {

// How the options do on each of the records; `flows_of` gives a record's.
template <typename FlowsOf>
std::vector<std::vector<Behaviour>> run_options(std::span<const WaterRecord* const> records, const Timeline& timeline,
                                                const TileRules& rules, std::span<const StorageOption> options,
                                                FlowsOf flows_of) {
    std::vector<Store> stores;
    stores.reserve(options.size());
    for (const StorageOption& option : options) {
        stores.push_back({option.usable_m3, rules.settings->storage.reserve_m3});
    }
    std::vector<CountedFlows> counted;
    counted.reserve(records.size());
    for (const WaterRecord* const record : records) {
        const WaterSeries& series = flows_of(*record);
        counted.push_back({{series.inflow_m3, series.demand_m3}, record->counted});
    }
    return behaviours(timeline, counted, stores, rules.store_rule, rules.settings->storage.reliability);
}

// Of a mean year the dependable and the worst value are what the assumed dry one gives, or none.
void set_dry(const Behaviour* dry, Behaviour& behaviour) {
    behaviour.replaced_dependable_m3 = dry == nullptr ? std::nullopt : std::optional<double>(dry->replaced_mean_m3);
    behaviour.replaced_worst_m3 = behaviour.replaced_dependable_m3;
}
// Of a roof or a parcel: the columns have the same names.
template <typename Row>
void fill_storage_columns(const StorageOption& option, const OptionResult& chosen, double source_share,
                          const TileRules& rules, Row& row) {
    const StorageSettings& settings = rules.settings->storage;
    const Behaviour& behaviour = chosen.behaviour;
    row.storage_m3 = option.nominal_m3;
    row.usable_m3 = option.usable_m3;
    row.tank_count = option.tank.count;
    row.replaced_mean_m3 = behaviour.replaced_mean_m3;
    row.replaced_dependable_m3 = behaviour.replaced_dependable_m3;
    row.replaced_worst_m3 = behaviour.replaced_worst_m3;
    row.season_reliability = behaviour.season_reliability;
    row.volume_reliability = behaviour.volume_reliability;
    row.full_winters_share = behaviour.full_winters_share;
    row.overflow_mean_m3 = behaviour.overflow_mean_m3;
    row.limited_by = limited_by(chosen, row.harvest_dependable_m3.value_or(*row.harvest_mean_m3),
                                {.reliability = settings.reliability,
                                 .storage_share = settings.storage_share,
                                 .reserve_m3 = settings.reserve_m3});
    row.forbearance_m3 = behaviour.forbearance_m3();
    row.forbearance_lps = mean_rate_lps(*row.forbearance_m3, rules.season.forbear.mean_year_days());
    row.instream_gain_lps = *row.forbearance_lps * source_share;
    if (needs_permit_check(option.tank.volume_m3, option.tank.diameter_m, option.tank.height_m,
                           {.volume_m3 = settings.permit_volume_m3, .ratio = settings.permit_ratio})) {
        row.flags.add(Flag::check_permit);
    }
    if (behaviour.full_winters_share < settings.seldom_full_share) {
        row.flags.add(Flag::seldom_full);
    }
}
}  // namespace

std::vector<std::vector<OptionResult>> store_results(std::span<const WaterRecord* const> records,
                                                     const Timeline& timeline, const TileRules& rules,
                                                     std::span<const StorageOption> options) {
    auto done = run_options(records, timeline, rules, options,
                            [](const WaterRecord& record) -> const WaterSeries& { return record.series; });
    if (!timeline.is_series()) {
        const auto dry = run_options(
            records, timeline, rules, options,
            [](const WaterRecord& record) -> const WaterSeries& { return record.dry ? *record.dry : record.series; });
        for (std::size_t i = 0; i < records.size(); ++i) {
            for (std::size_t k = 0; k < options.size(); ++k) {
                set_dry(records[i]->dry ? &dry[i][k] : nullptr, done[i][k]);
            }
        }
    }
    std::vector<std::vector<OptionResult>> results(records.size());
    for (std::size_t i = 0; i < records.size(); ++i) {
        for (std::size_t k = 0; k < options.size(); ++k) {
            results[i].push_back({options[k].nominal_m3, options[k].tank.count, options[k].usable_m3, done[i][k]});
        }
    }
    return results;
}

std::vector<OptionResult> store_results(const WaterRecord& record, const Timeline& timeline, const TileRules& rules,
                                        std::span<const StorageOption> options) {
    const WaterRecord* const only = &record;
    return std::move(store_results({&only, 1}, timeline, rules, options).front());
}

std::array<Behaviour, kLanes> store_results(const LaneRecord& record, const Timeline& timeline, const TileRules& rules,
                                            const StorageOption& option) {
    const Store store{option.usable_m3, rules.settings->storage.reserve_m3};
    const auto run = [&](const VariedFlows& flows) {
        return lane_behaviours(timeline, record.counted, flows, store, rules.store_rule,
                               rules.settings->storage.reliability);
    };
    std::array<Behaviour, kLanes> results = run(record.flows);
    if (!timeline.is_series()) {
        const auto dry = record.dry ? std::optional(run(*record.dry)) : std::nullopt;
        for (std::size_t lane = 0; lane < kLanes; ++lane) {
            set_dry(dry ? &dry->at(lane) : nullptr, results[lane]);
        }
    }
    return results;
}

HarvestFigures harvest_figures(const WaterRecord& record, const Timeline& timeline, const TileRules& rules) {
    const auto statistics = [&](const std::vector<double>& inflow) {
        return year_statistics(year_sums(inflow, timeline, rules.season.fill, record.counted),
                               rules.settings->storage.reliability);
    };
    const YearStatistics harvest = statistics(record.series.inflow_m3);
    HarvestFigures figures{harvest.mean, harvest.median, std::nullopt};
    if (timeline.is_series()) {
        figures.dependable_m3 = harvest.dependable;
    } else if (record.dry) {
        figures.dependable_m3 = statistics(record.dry->inflow_m3).mean;
    }
    return figures;
}
void fill_storage(const StorageOption& option, const OptionResult& chosen, double source_share, const TileRules& rules,
                  RoofRow& row) {
    fill_storage_columns(option, chosen, source_share, rules, row);
}

void fill_storage(const StorageOption& option, const OptionResult& chosen, double source_share, const TileRules& rules,
                  ParcelRow& row) {
    fill_storage_columns(option, chosen, source_share, rules, row);
}

}  // namespace eaveshed
