#include "eaveshed/parcel/scenarios.hpp"

#include "eaveshed/core/year_statistics.hpp"
#include "eaveshed/rain/years.hpp"
#include "shared_storage.hpp"

namespace eaveshed {

namespace {

TileRules rules_in(const ScenarioSettings& scenario, const TileRules& rules) {
    TileRules other = rules;
    other.rain_factor = scenario.rain_factor;
    other.et0_factor = scenario.et0_factor;
    return other;
}

// What stays as it was screened.
struct AsScreened {
    std::size_t option = 0;
    double forbearance_m3 = 0.0;
    double source_share = 0.0;
};

ScenarioRow row_of(const WaterRecord& record, const AsScreened& screened, const Timeline& timeline,
                   const TileRules& rules) {
    const StorageOption& option = rules.options.at(screened.option);
    const Behaviour behaviour = store_results(record, timeline, rules, {&option, std::size_t{1}}).front().behaviour;
    const HarvestFigures harvest = harvest_figures(record, timeline, rules);
    const auto demand = year_sums(record.series.demand_m3, timeline, rules.season.forbear, record.counted);
    ScenarioRow row;
    row.storage_m3 = option.nominal_m3;
    row.harvest_mean_m3 = harvest.mean_m3;
    row.harvest_dependable_m3 = harvest.dependable_m3;
    row.demand_m3 = year_statistics(demand, rules.settings->storage.reliability).mean;
    row.replaced_mean_m3 = behaviour.replaced_mean_m3;
    row.replaced_dependable_m3 = behaviour.replaced_dependable_m3;
    row.replaced_worst_m3 = behaviour.replaced_worst_m3;
    row.forbearance_m3 = behaviour.forbearance_m3();
    row.forbearance_now_m3 = screened.forbearance_m3;
    row.instream_gain_lps =
        mean_rate_lps(*row.forbearance_m3, rules.season.forbear.mean_year_days()) * screened.source_share;
    row.season_reliability = behaviour.season_reliability;
    return row;
}

}  // namespace

std::vector<ScenarioRow> parcel_scenarios(const TileParcel& parcel, const TileInput& tile, const TileRules& rules,
                                          std::span<const ComputedRoof> roofs, const SharedStorage& store,
                                          const ParcelRow& row) {
    const AsScreened screened{store.sited.option, *row.forbearance_m3, *row.source_share};
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
    const AsScreened screened{roof.option, *row.forbearance_m3, roof.water.take.source_share};
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
