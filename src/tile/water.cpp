#include "eaveshed/tile/water.hpp"

#include <utility>
#include <vector>

#include "eaveshed/core/year_statistics.hpp"
#include "eaveshed/rain/harvest.hpp"
#include "eaveshed/rain/sampling.hpp"
#include "eaveshed/rain/years.hpp"
#include "eaveshed/roof/runoff.hpp"
#include "eaveshed/storage/recommend.hpp"
#include "eaveshed/storage/store.hpp"
#include "eaveshed/tile/take.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kShortRecordYears = 10;  // fewer counted years than this say little of dry winters

// One run of the whole record: the record as it is, or the mean year made dry.
struct WaterRun {
    YearStatistics fill_rain_mm;
    YearStatistics harvest_m3;
    YearStatistics first_flush_m3;
    YearStatistics demand_m3;
    std::vector<OptionResult> options;  // as TileRules::options
};

struct RoofWater {
    const Timeline& timeline;
    const TileRules& rules;
    const std::vector<TankYear>& counted;
    double plan_area_m2;
    double runoff_coefficient;
    double connected_share;
    const DemandInputs& demand;
};

HarvestRules harvest_rules(const HarvestSettings& settings, double runoff_coefficient) {
    return {.runoff_coefficient = runoff_coefficient,
            .collection_efficiency = settings.collection_efficiency,
            .first_flush_mm = settings.first_flush_mm,
            .dry_days = settings.dry_days,
            .wet_day_mm = settings.wet_day_mm,
            .mean_event_mm = settings.mean_event_mm};
}

std::vector<OptionResult> run_options(const RoofWater& roof, const std::vector<double>& inflow,
                                      const std::vector<double>& demand) {
    const StorageSettings& storage = roof.rules.settings->storage;
    std::vector<Store> stores;
    stores.reserve(roof.rules.options.size());
    for (const StorageOption& option : roof.rules.options) {
        stores.push_back({option.usable_m3, storage.reserve_m3});
    }
    const auto runs = run_stores(roof.timeline, roof.counted, inflow, demand, stores, roof.rules.store_rule);
    std::vector<OptionResult> results;
    results.reserve(runs.size());
    for (std::size_t i = 0; i < runs.size(); ++i) {
        const StorageOption& option = roof.rules.options[i];
        results.push_back(
            {option.nominal_m3, option.tank.count, option.usable_m3, behaviour(runs[i], storage.reliability)});
    }
    return results;
}

WaterRun run_water(const RoofWater& roof, const std::vector<double>& rain_mm) {
    const Settings& settings = *roof.rules.settings;
    const Season& season = roof.rules.season;
    const double reliability = settings.storage.reliability;
    const HarvestDepths depths =
        harvest_depths(roof.timeline, rain_mm, harvest_rules(settings.harvest, roof.runoff_coefficient));
    const auto inflow = inflows_m3(roof.plan_area_m2, roof.connected_share, depths.harvest_mm);
    const auto diverted = inflows_m3(roof.plan_area_m2, roof.connected_share, depths.diverted_mm);
    const std::vector<double> demand = demand_m3(roof.timeline, rain_mm, season, roof.demand);
    const auto statistics = [&](const std::vector<double>& series, MonthSet months) {
        return year_statistics(year_sums(series, roof.timeline, months, roof.counted), reliability);
    };
    return {.fill_rain_mm = statistics(rain_mm, season.fill),
            .harvest_m3 = statistics(inflow, season.fill),
            .first_flush_m3 = statistics(diverted, season.fill),
            .demand_m3 = statistics(demand, season.forbear),
            .options = run_options(roof, inflow, demand)};
}

// A mean year knows no dry winter: its dependable and worst values are those of the assumed dry one, or none.
void replace_dry_values(WaterRun& mean_year, const std::optional<WaterRun>& dry) {
    for (std::size_t i = 0; i < mean_year.options.size(); ++i) {
        Behaviour& behaviour = mean_year.options[i].behaviour;
        behaviour.replaced_dependable_m3 =
            dry ? std::optional<double>(dry->options[i].behaviour.replaced_mean_m3) : std::nullopt;
        behaviour.replaced_worst_m3 = behaviour.replaced_dependable_m3;
    }
}

std::vector<CurveRow> curve_rows(const std::vector<OptionResult>& options) {
    std::vector<CurveRow> rows;
    rows.reserve(options.size());
    for (const OptionResult& option : options) {
        CurveRow row;
        row.storage_m3 = option.nominal_m3;
        row.tank_count = option.count;
        row.replaced_mean_m3 = option.behaviour.replaced_mean_m3;
        row.replaced_dependable_m3 = option.behaviour.replaced_dependable_m3;
        row.replaced_worst_m3 = option.behaviour.replaced_worst_m3;
        row.season_reliability = option.behaviour.season_reliability;
        row.volume_reliability = option.behaviour.volume_reliability;
        row.full_winters_share = option.behaviour.full_winters_share;
        row.overflow_mean_m3 = option.behaviour.overflow_mean_m3;
        rows.push_back(row);
    }
    return rows;
}

void fill_harvest(const WaterRun& run, const std::optional<WaterRun>& dry, bool is_series, RoofRow& row) {
    row.fill_rain_mm = run.fill_rain_mm.mean;
    row.harvest_mean_m3 = run.harvest_m3.mean;
    row.harvest_median_m3 = run.harvest_m3.median;
    row.first_flush_m3 = run.first_flush_m3.mean;
    row.demand_m3 = run.demand_m3.mean;
    if (is_series) {
        row.harvest_dependable_m3 = run.harvest_m3.dependable;
    } else if (dry) {
        row.harvest_dependable_m3 = dry->harvest_m3.mean;
    }
}

// Runs the record, and for a mean year the assumed dry one; fills harvest and curve; gives the options' results.
std::vector<OptionResult> run_and_fill(const RoofWater& roof, const std::vector<double>& rain_mm, RoofResult& result) {
    WaterRun run = run_water(roof, rain_mm);
    std::optional<WaterRun> dry;
    if (!roof.timeline.is_series()) {
        if (const auto factor = roof.rules.settings->rain.dry_winter_factor) {
            std::vector<double> dry_rain_mm = rain_mm;
            for (double& depth : dry_rain_mm) {
                depth *= *factor;
            }
            dry = run_water(roof, dry_rain_mm);
        }
        replace_dry_values(run, dry);
        result.roof.flags.add(dry ? Flag::assumed_dry_winter : Flag::mean_year_only);
    }
    fill_harvest(run, dry, roof.timeline.is_series(), result.roof);
    result.curve = curve_rows(run.options);
    return std::move(run.options);
}

}  // namespace

WaterOutcome evaluate_water(const RoofInput& roof, const ParcelInput* parcel, const ClimateInput& climate,
                            const TileRules& rules, RoofResult& result) {
    const auto sampled = roof.rain_point ? sample_series(climate.rain, *roof.rain_point) : std::nullopt;
    if (!sampled) {
        return {};
    }
    std::vector<TankYear> counted = counted_years(climate.timeline, sampled->values);
    if (counted.empty()) {
        return {};
    }
    RoofRow& row = result.roof;
    if (sampled->filled) {
        row.flags.add(Flag::rain_filled);
    }
    if (climate.timeline.is_series() && counted.size() < kShortRecordYears) {
        row.flags.add(Flag::short_record);
    }
    const HarvestSettings& harvest = rules.settings->harvest;
    const Assumed runoff =
        runoff_coefficient(roof.material, harvest.runoff_coefficient, harvest.default_runoff_coefficient);
    const Assumed connected = connected_share(roof.connected_share, harvest.default_connected_share);
    if (runoff.is_default) {
        row.flags.add(Flag::default_material);
    }
    if (connected.is_default) {
        row.flags.add(Flag::default_connected);
    }
    row.runoff_coefficient = runoff.value;
    row.connected_share = connected.value;

    WaterOutcome outcome;
    outcome.take = summer_take(roof, parcel, climate, *rules.settings, rules.season);
    row.flags.add(outcome.take.flags);
    const RoofWater water{climate.timeline,   rules, counted, *roof.plan_area_m2, runoff.value, connected.value,
                          outcome.take.demand};
    outcome.has_rain = true;
    outcome.options = run_and_fill(water, dry_where_missing(sampled->values), result);
    outcome.recommended = recommended_option(outcome.options, rules.settings->storage.storage_share);
    outcome.counted = std::move(counted);
    return outcome;
}

void fill_storage(const WaterOutcome& water, std::size_t chosen_option, const TileRules& rules, RoofResult& result) {
    const StorageOption& option = rules.options.at(chosen_option);
    const OptionResult& chosen = water.options.at(chosen_option);
    const StorageSettings& settings = rules.settings->storage;
    RoofRow& row = result.roof;
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
    row.instream_gain_lps = *row.forbearance_lps * water.take.source_share;
    if (needs_permit_check(option.tank.volume_m3, option.tank.diameter_m, option.tank.height_m,
                           {.volume_m3 = settings.permit_volume_m3, .ratio = settings.permit_ratio})) {
        row.flags.add(Flag::check_permit);
    }
}

}  // namespace eaveshed
