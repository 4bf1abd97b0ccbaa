// What the storages of the catalogue make of a record, and the columns that follow from the one that is chosen.
#include <span>
#include <vector>

#include "eaveshed/core/year_statistics.hpp"
#include "eaveshed/rain/years.hpp"
#include "eaveshed/site/water.hpp"
#include "eaveshed/storage/recommend.hpp"
#include "eaveshed/storage/store.hpp"

namespace eaveshed {

namespace {

OptionResult result_of(const StorageOption& option, std::span<const YearOfStore> years, const TileRules& rules) {
    return {option.nominal_m3, option.tank.count, option.usable_m3,
            behaviour(years, rules.settings->storage.reliability)};
}

std::vector<OptionResult> run_options(const WaterRecord& record, const WaterSeries& series, const Timeline& timeline,
                                      const TileRules& rules, std::span<const StorageOption> options) {
    std::vector<Store> stores;
    stores.reserve(options.size());
    for (const StorageOption& option : options) {
        stores.push_back({option.usable_m3, rules.settings->storage.reserve_m3});
    }
    const auto runs =
        run_stores(timeline, record.counted, series.inflow_m3, series.demand_m3, stores, rules.store_rule);
    std::vector<OptionResult> results;
    results.reserve(runs.size());
    for (std::size_t i = 0; i < runs.size(); ++i) {
        results.push_back(result_of(options[i], runs[i], rules));
    }
    return results;
}

// Of a mean year the dependable and the worst value are what the assumed dry one gives, or none.
void set_dry(const OptionResult* dry, OptionResult& result) {
    Behaviour& behaviour = result.behaviour;
    behaviour.replaced_dependable_m3 =
        dry == nullptr ? std::nullopt : std::optional<double>(dry->behaviour.replaced_mean_m3);
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

std::vector<OptionResult> store_results(const WaterRecord& record, const Timeline& timeline, const TileRules& rules,
                                        std::span<const StorageOption> options) {
    std::vector<OptionResult> results = run_options(record, record.series, timeline, rules, options);
    if (timeline.is_series()) {
        return results;
    }
    const auto dry =
        record.dry ? run_options(record, *record.dry, timeline, rules, options) : std::vector<OptionResult>{};
    for (std::size_t i = 0; i < results.size(); ++i) {
        set_dry(dry.empty() ? nullptr : &dry[i], results[i]);
    }
    return results;
}

std::vector<OptionResult> store_results(std::span<const WaterRecord> records, const Timeline& timeline,
                                        const TileRules& rules, const StorageOption& option) {
    std::vector<OptionResult> results;
    if (records.empty()) {
        return results;
    }
    if (!timeline.is_series()) {
        for (const WaterRecord& record : records) {
            results.push_back(store_results(record, timeline, rules, {&option, 1}).front());
        }
        return results;
    }
    std::vector<Flows> flows;
    for (const WaterRecord& record : records) {
        flows.push_back({record.series.inflow_m3, record.series.demand_m3});
    }
    const Store store{option.usable_m3, rules.settings->storage.reserve_m3};
    for (const auto& years : run_records(timeline, records.front().counted, flows, store, rules.store_rule)) {
        results.push_back(result_of(option, years, rules));
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
