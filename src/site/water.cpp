#include "eaveshed/site/water.hpp"

#include <algorithm>
#include <utility>
#include <vector>

#include "eaveshed/core/lanes.hpp"
#include "eaveshed/core/year_statistics.hpp"
#include "eaveshed/rain/harvest.hpp"
#include "eaveshed/rain/record.hpp"
#include "eaveshed/rain/years.hpp"
#include "eaveshed/roof/runoff.hpp"
#include "eaveshed/site/take.hpp"
#include "eaveshed/storage/recommend.hpp"
#include "roof_steps.hpp"

namespace eaveshed {

namespace {

// The rain of one run, and what becomes of it.
struct RainRun {
    YearStatistics fill_rain_mm;
    YearStatistics first_flush_m3;
    YearStatistics demand_m3;
    WaterSeries series;
    std::vector<std::vector<double>> other_inflow_m3;  // at the other runoff coefficients
};

struct RoofWater {
    const Timeline& timeline;
    const TileRules& rules;
    const std::vector<TankYear>& counted;
    double plan_area_m2;
    double connected_share;

    [[nodiscard]] std::vector<double> inflows_m3(const std::vector<double>& depth_mm) const {
        return eaveshed::inflows_m3(plan_area_m2, connected_share, depth_mm);
    }
};

HarvestRules harvest_rules(const HarvestSettings& settings, double runoff_coefficient) {
    return {.runoff_coefficient = runoff_coefficient,
            .collection_efficiency = settings.collection_efficiency,
            .first_flush_mm = settings.first_flush_mm,
            .dry_days = settings.dry_days,
            .wet_day_mm = settings.wet_day_mm,
            .mean_event_mm = settings.mean_event_mm};
}

RainRun run_rain(const RoofWater& roof, RoofSteps steps) {
    const Settings& settings = *roof.rules.settings;
    const Season& season = roof.rules.season;
    RainRun run;
    run.series.inflow_m3 = roof.inflows_m3(steps.depths.harvest_mm);
    run.series.demand_m3 = std::move(steps.demand_m3);
    const auto statistics = [&](const std::vector<double>& series, MonthSet months) {
        return year_statistics(year_sums(series, roof.timeline, months, roof.counted), settings.storage.reliability);
    };
    run.fill_rain_mm = statistics(steps.rain_mm, season.fill);
    run.first_flush_m3 = statistics(roof.inflows_m3(steps.depths.diverted_mm), season.fill);
    run.demand_m3 = statistics(run.series.demand_m3, season.forbear);
    for (const std::vector<double>& depth_mm : steps.other_harvest_mm) {
        run.other_inflow_m3.push_back(roof.inflows_m3(depth_mm));
    }
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

// Fills the columns of rain and demand from the record, and for a mean year from the assumed dry one as well.
void fill_rain(const RoofWater& roof, RoofSteps steps, std::optional<RoofSteps> dry_steps, RoofRows& result,
               WaterOutcome& outcome) {
    RainRun run = run_rain(roof, std::move(steps));
    outcome.record = {roof.counted, std::move(run.series), std::nullopt};
    outcome.at_other_runoff.resize(run.other_inflow_m3.size());
    for (std::size_t i = 0; i < run.other_inflow_m3.size(); ++i) {
        outcome.at_other_runoff[i].inflow_m3 = std::move(run.other_inflow_m3[i]);
    }
    if (dry_steps) {
        RainRun dry = run_rain(roof, std::move(*dry_steps));
        outcome.record.dry = std::move(dry.series);
        for (std::size_t i = 0; i < dry.other_inflow_m3.size(); ++i) {
            outcome.at_other_runoff[i].dry_inflow_m3 = std::move(dry.other_inflow_m3[i]);
        }
    }
    if (!roof.timeline.is_series()) {
        result.roof.flags.add(outcome.record.dry ? Flag::assumed_dry_winter : Flag::mean_year_only);
    }
    RoofRow& row = result.roof;
    row.fill_rain_mm = run.fill_rain_mm.mean;
    row.first_flush_m3 = run.first_flush_m3.mean;
    row.demand_m3 = run.demand_m3.mean;
    const HarvestFigures harvest = harvest_figures(outcome.record, roof.timeline, roof.rules);
    row.harvest_mean_m3 = harvest.mean_m3;
    row.harvest_median_m3 = harvest.median_m3;
    row.harvest_dependable_m3 = harvest.dependable_m3;
}

// A roof with rain, on its way through the computation.
struct WetRoof {
    std::size_t task = 0;
    std::vector<double> depths_mm;  // as the record has them, in the rules' climate; dry where nothing is known
    std::vector<TankYear> counted;
    RoofRules rules;
};

// Fills what the rain says of a row; none where it says nothing.
std::optional<WetRoof> wet_roof(const WaterTask& task, const RoofClimate& climate, const TileRules& rules) {
    const auto sampled = climate.rain_at(task.roof->climate_place);
    if (!sampled) {
        return std::nullopt;
    }
    WetRoof wet;
    wet.counted = counted_years(climate.record(), sampled->values);
    if (wet.counted.empty()) {
        return std::nullopt;
    }
    Flags& flags = task.result->roof.flags;
    if (sampled->filled) {
        flags.add(Flag::rain_filled);
    }
    if (climate.timeline().is_series() && wet.counted.size() < kShortRecordYears) {
        flags.add(Flag::short_record);
    }
    wet.depths_mm = dry_where_missing(sampled->values);
    if (rules.rain_factor != kAsRecorded) {
        scale_by_month(climate.record(), rules.rain_factor, wet.depths_mm);
    }
    return wet;
}

// Fills what is known or assumed of the roof and of its summer take.
void set_rules(const WaterTask& task, const RoofClimate& climate, const TileRules& rules, RoofRules& of_roof,
               WaterOutcome& outcome) {
    const TileRoof& roof = *task.roof;
    RoofRow& row = task.result->roof;
    const HarvestSettings& harvest = rules.settings->harvest;
    const RoofFacts& facts = roof.facts;
    const Assumed runoff = facts.runoff_coefficient ? Assumed{*facts.runoff_coefficient, false}
                                                    : runoff_coefficient(facts.material, harvest.runoff_coefficient,
                                                                         harvest.default_runoff_coefficient);
    const Assumed connected = connected_share(facts.connected_share, harvest.default_connected_share);
    if (runoff.is_default) {
        row.flags.add(Flag::default_material);
    }
    if (connected.is_default) {
        row.flags.add(Flag::default_connected);
    }
    row.runoff_coefficient = runoff.value;
    row.connected_share = connected.value;
    of_roof.harvest = harvest_rules(harvest, runoff.value);
    if (runoff.is_default) {
        of_roof.other_runoff = task.other_runoff;
    }
    outcome.take = summer_take(roof, task.parcel, climate, *rules.settings, rules.season);
    for (std::size_t month = 0; month < rules.et0_factor.size(); ++month) {
        outcome.take.demand.et0_mm_day.at(month) *= rules.et0_factor.at(month);
    }
    row.flags.add(outcome.take.flags);
    of_roof.demand = outcome.take.demand;
}

// What becomes of the rain of one roof in every step.
void finish(const WaterTask& task, const WetRoof& wet, RoofSteps steps, const RoofClimate& climate,
            const TileRules& rules, WaterOutcome& outcome) {
    const Timeline& timeline = climate.timeline();
    const RoofRow& row = task.result->roof;
    const RoofWater water{timeline, rules, wet.counted, *task.roof->plan_area_m2, row.connected_share.value()};
    std::optional<RoofSteps> dry;
    if (const auto factor = rules.settings->rain.dry_winter_factor; factor && !timeline.is_series()) {
        dry = steps_of_months(timeline, in_dry_winter(wet.depths_mm, *factor), wet.rules, rules.season);
    }
    outcome.has_rain = true;
    fill_rain(water, std::move(steps), std::move(dry), *task.result, outcome);
    outcome.options = store_results(outcome.record, timeline, rules, rules.options);
    task.result->curve = curve_rows(outcome.options);
    outcome.recommended = recommended_option(outcome.options, rules.recommend);
}

// At most kLanes roofs.
void finish_roofs(std::span<const WaterTask> tasks, std::span<const WetRoof> roofs, const RoofClimate& climate,
                  const TileRules& rules, std::span<WaterOutcome> outcomes) {
    std::vector<RainedRoof> rained;
    for (const WetRoof& roof : roofs) {
        rained.push_back({roof.depths_mm, roof.rules});
    }
    std::vector<RoofSteps> steps = steps_of(climate.record(), rained, rules.season);
    for (std::size_t k = 0; k < roofs.size(); ++k) {
        const std::size_t task = roofs[k].task;
        finish(tasks[task], roofs[k], std::move(steps[k]), climate, rules, outcomes[task]);
    }
}

}  // namespace

std::vector<WaterOutcome> evaluate_waters(std::span<const WaterTask> tasks, const RoofClimate& climate,
                                          const TileRules& rules) {
    std::vector<WaterOutcome> outcomes(tasks.size());
    std::vector<WetRoof> waiting;  // until all lanes are full
    waiting.reserve(kLanes);
    for (std::size_t i = 0; i < tasks.size(); ++i) {
        auto wet = wet_roof(tasks[i], climate, rules);
        if (!wet) {
            continue;
        }
        wet->task = i;
        set_rules(tasks[i], climate, rules, wet->rules, outcomes[i]);
        waiting.push_back(std::move(*wet));
        if (waiting.size() == kLanes) {
            finish_roofs(tasks, waiting, climate, rules, outcomes);
            waiting.clear();
        }
    }
    if (!waiting.empty()) {
        finish_roofs(tasks, waiting, climate, rules, outcomes);
    }
    return outcomes;
}

WaterOutcome evaluate_water(const TileRoof& roof, const TileParcel* parcel, const RoofClimate& climate,
                            const TileRules& rules, RoofRows& result) {
    const WaterTask task{.roof = &roof, .parcel = parcel, .result = &result, .other_runoff = {}};
    return std::move(evaluate_waters({&task, 1}, climate, rules).front());
}

}  // namespace eaveshed
