#include "eaveshed/parcel/scenarios.hpp"

#include "added.hpp"
#include "eaveshed/core/year_statistics.hpp"
#include "eaveshed/rain/years.hpp"
#include "shared_storage.hpp"

namespace eaveshed {

namespace {

TileRules rules_in(const ScenarioSettings& scenario, const TileRules& rules) {
    TileRules other = rules;
    other.options.clear();  // the storage is chosen: what others would do is not asked
    other.rain_factor = scenario.rain_factor;
    other.et0_factor = scenario.et0_factor;
    return other;
}

// What stays as it was screened.
struct AsScreened {
    const StorageOption& option;
    double forbearance_m3 = 0.0;
    double source_share = 0.0;
    std::optional<double> existing_storage_m3 = std::nullopt;
};

ScenarioRow row_of(const WaterRecord& record, const AsScreened& screened, const Timeline& timeline,
                   const TileRules& rules) {
    const Behaviour behaviour = store_results(record, timeline, rules, {&screened.option, 1}).front().behaviour;
    const ExistingStorage existing(screened.existing_storage_m3, record, timeline, rules);
    const Added added = existing.added_by(behaviour.forbearance_m3(), screened.source_share);
    const HarvestFigures harvest = harvest_figures(record, timeline, rules);
    const auto demand = year_sums(record.series.demand_m3, timeline, rules.season.forbear, record.counted);
    ScenarioRow row;
    row.storage_m3 = screened.option.nominal_m3;
    row.harvest_mean_m3 = harvest.mean_m3;
    row.harvest_dependable_m3 = harvest.dependable_m3;
    row.demand_m3 = year_statistics(demand, rules.settings->storage.reliability).mean;
    row.replaced_mean_m3 = behaviour.replaced_mean_m3;
    row.replaced_dependable_m3 = behaviour.replaced_dependable_m3;
    row.replaced_worst_m3 = behaviour.replaced_worst_m3;
    row.forbearance_m3 = behaviour.forbearance_m3();
    row.forbearance_now_m3 = screened.forbearance_m3;
    row.added_forbearance_m3 = added.forbearance_m3;
    row.instream_gain_lps =
        mean_rate_lps(*row.forbearance_m3, rules.season.forbear.mean_year_days()) * screened.source_share;
    row.added_gain_lps = added.gain_lps;
    row.season_reliability = behaviour.season_reliability;
    return row;
}

}  // namespace

std::vector<ScenarioRow> parcel_scenarios(const TileParcel& parcel, const TileInput& tile, const TileRules& rules,
                                          std::span<const ComputedRoof> roofs, const SharedStorage& store,
                                          const ParcelRow& row) {
    const AsScreened screened{rules.options.at(store.sited.option), *row.forbearance_m3, *row.source_share,
                              row.existing_storage_m3};
    std::vector<ScenarioRow> rows;
    for (const ScenarioSettings& scenario : rules.settings->scenarios) {
        const TileRules other = rules_in(scenario, rules);
        rows.push_back(
            row_of(record_under(other, parcel, tile.climate, roofs, store), screened, tile.climate.timeline(), other));
    }
    return rows;
}

std::vector<ScenarioRow> roof_scenarios(const ComputedRoof& roof, const TileInput& tile, const TileRules& rules) {
    std::vector<ScenarioRow> rows;
    const RoofRow& row = roof.result.roof;
    if (!row.forbearance_m3) {
        return rows;
    }
    const AsScreened screened{rules.options.at(roof.option), *row.forbearance_m3, roof.water.take.source_share};
    for (const ScenarioSettings& scenario : rules.settings->scenarios) {
        const TileRules other = rules_in(scenario, rules);
        RoofRows scratch;
        scratch.roof.plan_area_m2 = row.plan_area_m2;
        const WaterRecord record = evaluate_water(*roof.input, nullptr, tile.climate, other, scratch).record;
        rows.push_back(row_of(record, screened, tile.climate.timeline(), other));
    }
    return rows;
}

}  // namespace eaveshed
