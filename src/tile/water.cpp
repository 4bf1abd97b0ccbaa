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

// The rain of one run, and what becomes of it.
struct RainRun {
    YearStatistics fill_rain_mm;
    YearStatistics first_flush_m3;
    YearStatistics demand_m3;
    WaterSeries series;
};

struct RoofWater {
    const ClimateInput& climate;
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

std::vector<OptionResult> run_options(const StoreRecord& record, const WaterSeries& series, const Timeline& timeline,
                                      const TileRules& rules, std::span<const StorageOption> options) {
    const StorageSettings& storage = rules.settings->storage;
    std::vector<Store> stores;
    stores.reserve(options.size());
    for (const StorageOption& option : options) {
        stores.push_back({option.usable_m3, storage.reserve_m3});
    }
    const auto runs =
        run_stores(timeline, record.counted, series.inflow_m3, series.demand_m3, stores, rules.store_rule);
    std::vector<OptionResult> results;
    results.reserve(runs.size());
    for (std::size_t i = 0; i < runs.size(); ++i) {
        results.push_back({options[i].nominal_m3, options[i].tank.count, options[i].usable_m3,
                           behaviour(runs[i], storage.reliability)});
    }
    return results;
}

// What the rain does in every step of the timeline. `rain_mm`: of the rain's own steps, days for a record of days.
struct StepsOfRain {
    std::vector<double> rain_mm;
    HarvestDepths depths;
    std::vector<double> demand_m3;
};

HarvestDepths depths_of(const ClimateInput& climate, const std::vector<double>& rain_mm, const HarvestRules& rules) {
    return climate.of_days() ? harvest_depths(climate.spells, climate.timeline.steps.size(), rain_mm, rules)
                             : harvest_depths(climate.timeline, rain_mm, rules);
}

StepsOfRain steps_of(const RoofWater& roof, const std::vector<double>& rain_mm) {
    const HarvestRules rules = harvest_rules(roof.rules.settings->harvest, roof.runoff_coefficient);
    const Timeline& timeline = roof.timeline;
    const std::vector<Spell>& spells = roof.climate.spells;
    const Season& season = roof.rules.season;
    const bool days = roof.climate.of_days();
    return {days ? step_sums(spells, timeline.steps.size(), rain_mm) : rain_mm, depths_of(roof.climate, rain_mm, rules),
            days ? demand_m3(timeline, spells, rain_mm, season, roof.demand)
                 : demand_m3(timeline, rain_mm, season, roof.demand)};
}

RainRun run_rain(const RoofWater& roof, const std::vector<double>& rain_mm) {
    const Settings& settings = *roof.rules.settings;
    const Season& season = roof.rules.season;
    StepsOfRain steps = steps_of(roof, rain_mm);
    const auto diverted = inflows_m3(roof.plan_area_m2, roof.connected_share, steps.depths.diverted_mm);
    RainRun run;
    run.series.inflow_m3 = inflows_m3(roof.plan_area_m2, roof.connected_share, steps.depths.harvest_mm);
    run.series.demand_m3 = std::move(steps.demand_m3);
    const auto statistics = [&](const std::vector<double>& series, MonthSet months) {
        return year_statistics(year_sums(series, roof.timeline, months, roof.counted), settings.storage.reliability);
    };
    run.fill_rain_mm = statistics(steps.rain_mm, season.fill);
    run.first_flush_m3 = statistics(diverted, season.fill);
    run.demand_m3 = statistics(run.series.demand_m3, season.forbear);
    return run;
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

std::vector<double> in_dry_winter(std::vector<double> rain_mm, double factor) {
    for (double& depth : rain_mm) {
        depth *= factor;
    }
    return rain_mm;
}

// Runs the record, and for a mean year the assumed dry one; fills the columns of rain and demand.
StoreRecord run_and_fill(const RoofWater& roof, const std::vector<double>& rain_mm, RoofResult& result) {
    RainRun run = run_rain(roof, rain_mm);
    StoreRecord record{roof.counted, std::move(run.series), std::nullopt};
    if (!roof.timeline.is_series()) {
        if (const auto factor = roof.rules.settings->rain.dry_winter_factor) {
            record.dry = std::move(run_rain(roof, in_dry_winter(rain_mm, *factor)).series);
        }
        result.roof.flags.add(record.dry ? Flag::assumed_dry_winter : Flag::mean_year_only);
    }
    RoofRow& row = result.roof;
    row.fill_rain_mm = run.fill_rain_mm.mean;
    row.first_flush_m3 = run.first_flush_m3.mean;
    row.demand_m3 = run.demand_m3.mean;
    const HarvestFigures harvest = harvest_figures(record, roof.timeline, roof.rules);
    row.harvest_mean_m3 = harvest.mean_m3;
    row.harvest_median_m3 = harvest.median_m3;
    row.harvest_dependable_m3 = harvest.dependable_m3;
    return record;
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
}

// The rain that was sampled, in the rules' climate.
std::vector<double> rain_of(const std::vector<double>& sampled, const ClimateInput& climate, const TileRules& rules) {
    std::vector<double> rain_mm = dry_where_missing(sampled);
    if (rules.rain_factor == kAsRecorded) {
        return rain_mm;
    }
    const auto factor = [&](std::int8_t month) { return rules.rain_factor.at(static_cast<std::size_t>(month - 1)); };
    std::size_t next = 0;
    if (!climate.of_days()) {
        for (double& depth : rain_mm) {
            depth *= factor(climate.timeline.steps[next++].month);
        }
        return rain_mm;
    }
    for (const Spell& spell : climate.spells) {
        if (spell.wet) {
            rain_mm[next++] *= factor(spell.month);
        }
    }
    return rain_mm;
}

}  // namespace

std::vector<OptionResult> store_results(const StoreRecord& record, const Timeline& timeline, const TileRules& rules,
                                        std::span<const StorageOption> options) {
    std::vector<OptionResult> results = run_options(record, record.series, timeline, rules, options);
    if (timeline.is_series()) {
        return results;
    }
    const auto dry =
        record.dry ? run_options(record, *record.dry, timeline, rules, options) : std::vector<OptionResult>{};
    for (std::size_t i = 0; i < results.size(); ++i) {
        Behaviour& behaviour = results[i].behaviour;
        behaviour.replaced_dependable_m3 =
            dry.empty() ? std::nullopt : std::optional<double>(dry[i].behaviour.replaced_mean_m3);
        behaviour.replaced_worst_m3 = behaviour.replaced_dependable_m3;
    }
    return results;
}

HarvestFigures harvest_figures(const StoreRecord& record, const Timeline& timeline, const TileRules& rules) {
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

WaterOutcome evaluate_water(const RoofInput& roof, const ParcelInput* parcel, const ClimateInput& climate,
                            const TileRules& rules, RoofResult& result) {
    const auto sampled = roof.rain_point ? sample_series(climate.rain, *roof.rain_point) : std::nullopt;
    if (!sampled) {
        return {};
    }
    const std::vector<TankYear> counted = climate.of_days()
                                              ? counted_years(climate.timeline, climate.spells, sampled->values)
                                              : counted_years(climate.timeline, sampled->values);
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
    const Assumed runoff = roof.runoff_coefficient ? Assumed{*roof.runoff_coefficient, false}
                                                   : runoff_coefficient(roof.material, harvest.runoff_coefficient,
                                                                        harvest.default_runoff_coefficient);
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
    for (std::size_t month = 0; month < rules.et0_factor.size(); ++month) {
        outcome.take.demand.et0_mm_day.at(month) *= rules.et0_factor.at(month);
    }
    row.flags.add(outcome.take.flags);
    const RoofWater water{climate,         climate.timeline,   rules, counted, *roof.plan_area_m2, runoff.value,
                          connected.value, outcome.take.demand};
    outcome.has_rain = true;
    outcome.rain_mm = rain_of(sampled->values, climate, rules);
    outcome.record = run_and_fill(water, outcome.rain_mm, result);
    outcome.options = store_results(outcome.record, climate.timeline, rules, rules.options);
    result.curve = curve_rows(outcome.options);
    outcome.recommended = recommended_option(outcome.options, rules.settings->storage.storage_share);
    return outcome;
}

StoreRecord record_with_runoff(double runoff_coefficient, const WaterOutcome& water, const RoofRow& row,
                               const ClimateInput& climate, const TileRules& rules) {
    const HarvestRules harvest = harvest_rules(rules.settings->harvest, runoff_coefficient);
    const auto inflow = [&](const std::vector<double>& rain_mm) {
        const HarvestDepths depths = depths_of(climate, rain_mm, harvest);
        return inflows_m3(row.plan_area_m2.value(), row.connected_share.value(), depths.harvest_mm);
    };
    StoreRecord record = water.record;
    record.series.inflow_m3 = inflow(water.rain_mm);
    if (record.dry) {
        record.dry->inflow_m3 = inflow(in_dry_winter(water.rain_mm, rules.settings->rain.dry_winter_factor.value()));
    }
    return record;
}

StoreRecord record_with_connected(double connected_share, const WaterOutcome& water, const RoofRow& row) {
    StoreRecord record = water.record;
    const double factor = connected_share / row.connected_share.value();
    const auto scale = [factor](std::vector<double>& inflow) {
        for (double& volume : inflow) {
            volume *= factor;
        }
    };
    scale(record.series.inflow_m3);
    if (record.dry) {
        scale(record.dry->inflow_m3);
    }
    return record;
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
