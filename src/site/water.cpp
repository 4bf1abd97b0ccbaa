#include "eaveshed/site/water.hpp"

#include <algorithm>
#include <utility>
#include <vector>

#include "eaveshed/core/lanes.hpp"
#include "eaveshed/core/year_statistics.hpp"
#include "eaveshed/rain/harvest.hpp"
#include "eaveshed/rain/sampling.hpp"
#include "eaveshed/rain/years.hpp"
#include "eaveshed/roof/runoff.hpp"
#include "eaveshed/site/take.hpp"
#include "eaveshed/storage/recommend.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kShortRecordYears = 10;  // fewer counted years than this say little of dry winters

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

// What the rain does in every step of the timeline.
struct RoofSteps {
    std::vector<double> rain_mm;
    HarvestDepths depths;
    std::vector<double> demand_m3;
    std::vector<std::vector<double>> other_harvest_mm;  // at the other runoff coefficients that are asked about
};

// What one roof makes of the rain: the same for every year and in a dry winter.
struct RoofRules {
    HarvestRules harvest;
    DemandInputs demand;
    std::vector<double> other_runoff;
};

HarvestRules with_runoff(HarvestRules rules, double runoff_coefficient) {
    rules.runoff_coefficient = runoff_coefficient;
    return rules;
}

RoofSteps steps_of_months(const Timeline& timeline, const std::vector<double>& rain_mm, const RoofRules& roof,
                          const Season& season) {
    RoofSteps steps{rain_mm,
                    harvest_depths(timeline, rain_mm, roof.harvest),
                    demand_m3(timeline, rain_mm, season, roof.demand),
                    {}};
    for (const double coefficient : roof.other_runoff) {
        steps.other_harvest_mm.push_back(
            harvest_depths(timeline, rain_mm, with_runoff(roof.harvest, coefficient)).harvest_mm);
    }
    return steps;
}

// Roofs under a record of days, at most kLanes. `wet_mm`: a roof a lane.
std::vector<RoofSteps> steps_of_days(const ClimateInput& climate, const std::vector<Lanes>& wet_mm,
                                     std::span<const RoofRules> roofs, const Season& season) {
    const std::size_t count = climate.timeline.steps.size();
    std::vector<HarvestRules> harvest;
    std::vector<DemandInputs> inputs;
    std::size_t others = 0;
    for (const RoofRules& roof : roofs) {
        harvest.push_back(roof.harvest);
        inputs.push_back(roof.demand);
        others = std::max(others, roof.other_runoff.size());
    }
    const std::vector<Lanes> rain_mm = step_sums(climate.spells, count, wet_mm);
    std::vector<HarvestDepths> depths = harvest_depths(climate.spells, count, wet_mm, harvest);
    auto demands = demands_m3(climate.timeline, climate.spells, wet_mm, season, inputs);
    std::vector<RoofSteps> steps;
    steps.reserve(roofs.size());
    for (std::size_t k = 0; k < roofs.size(); ++k) {
        steps.push_back({lane_of(rain_mm, k), std::move(depths[k]), std::move(demands[k]), {}});
    }
    for (std::size_t other = 0; other < others; ++other) {
        for (std::size_t k = 0; k < roofs.size(); ++k) {
            const auto& coefficients = roofs[k].other_runoff;
            harvest[k] = with_runoff(harvest[k], other < coefficients.size() ? coefficients[other] : 0.0);
        }
        depths = harvest_depths(climate.spells, count, wet_mm, harvest);
        for (std::size_t k = 0; k < roofs.size(); ++k) {
            if (other < roofs[k].other_runoff.size()) {
                steps[k].other_harvest_mm.push_back(std::move(depths[k].harvest_mm));
            }
        }
    }
    return steps;
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

// A roof with rain, on its way through the computation.
struct WetRoof {
    std::size_t task = 0;
    std::vector<double> rain_mm;  // as ClimateInput::rain has its steps; dry where nothing is known
    std::vector<TankYear> counted;
    RoofRules rules;
};

// Fills what the rain says of a row; none where it says nothing.
std::optional<WetRoof> wet_roof(const WaterTask& task, const RoofClimate& place, const TileRules& rules) {
    const auto sampled = task.roof->rain_point ? sample_series(place.rain, *task.roof->rain_point) : std::nullopt;
    if (!sampled) {
        return std::nullopt;
    }
    const ClimateInput& climate = place.basin;
    WetRoof wet;
    wet.counted = climate.of_days() ? counted_years(climate.timeline, climate.spells, sampled->values)
                                    : counted_years(climate.timeline, sampled->values);
    if (wet.counted.empty()) {
        return std::nullopt;
    }
    Flags& flags = task.result->roof.flags;
    if (sampled->filled) {
        flags.add(Flag::rain_filled);
    }
    if (climate.timeline.is_series() && wet.counted.size() < kShortRecordYears) {
        flags.add(Flag::short_record);
    }
    wet.rain_mm = rain_of(sampled->values, climate, rules);
    return wet;
}

// Fills what is known or assumed of the roof and of its summer take.
void set_rules(const WaterTask& task, const ClimateInput& climate, const TileRules& rules, RoofRules& of_roof,
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
void finish(const WaterTask& task, const WetRoof& wet, RoofSteps steps, const ClimateInput& climate,
            const TileRules& rules, WaterOutcome& outcome) {
    const RoofRow& row = task.result->roof;
    const RoofWater water{climate.timeline, rules, wet.counted, *task.roof->plan_area_m2, row.connected_share.value()};
    std::optional<RoofSteps> dry;
    if (const auto factor = rules.settings->rain.dry_winter_factor; factor && !climate.timeline.is_series()) {
        dry = steps_of_months(climate.timeline, in_dry_winter(wet.rain_mm, *factor), wet.rules, rules.season);
    }
    outcome.has_rain = true;
    fill_rain(water, std::move(steps), std::move(dry), *task.result, outcome);
    outcome.options = store_results(outcome.record, climate.timeline, rules, rules.options);
    task.result->curve = curve_rows(outcome.options);
    outcome.recommended = recommended_option(outcome.options, rules.settings->storage.storage_share);
}

// At most kLanes roofs under a record of days.
void finish_days(std::span<const WaterTask> tasks, std::span<const WetRoof> roofs, const ClimateInput& climate,
                 const TileRules& rules, std::span<WaterOutcome> outcomes) {
    std::vector<Lanes> wet_mm(climate.rain.steps);
    std::vector<RoofRules> of_roofs;
    for (std::size_t k = 0; k < roofs.size(); ++k) {
        for (std::size_t i = 0; i < wet_mm.size(); ++i) {
            wet_mm[i][k] = roofs[k].rain_mm[i];
        }
        of_roofs.push_back(roofs[k].rules);
    }
    std::vector<RoofSteps> steps = steps_of_days(climate, wet_mm, of_roofs, rules.season);
    for (std::size_t k = 0; k < roofs.size(); ++k) {
        const std::size_t task = roofs[k].task;
        finish(tasks[task], roofs[k], std::move(steps[k]), climate, rules, outcomes[task]);
    }
}

}  // namespace

std::vector<WaterOutcome> evaluate_waters(std::span<const WaterTask> tasks, const RoofClimate& place,
                                          const TileRules& rules) {
    const ClimateInput& climate = place.basin;
    std::vector<WaterOutcome> outcomes(tasks.size());
    std::vector<WetRoof> waiting;  // until all lanes are full
    waiting.reserve(kLanes);
    for (std::size_t i = 0; i < tasks.size(); ++i) {
        auto wet = wet_roof(tasks[i], place, rules);
        if (!wet) {
            continue;
        }
        wet->task = i;
        set_rules(tasks[i], climate, rules, wet->rules, outcomes[i]);
        if (!climate.of_days()) {
            RoofSteps steps = steps_of_months(climate.timeline, wet->rain_mm, wet->rules, rules.season);
            finish(tasks[i], *wet, std::move(steps), climate, rules, outcomes[i]);
            continue;
        }
        waiting.push_back(std::move(*wet));
        if (waiting.size() == kLanes) {
            finish_days(tasks, waiting, climate, rules, outcomes);
            waiting.clear();
        }
    }
    if (!waiting.empty()) {
        finish_days(tasks, waiting, climate, rules, outcomes);
    }
    return outcomes;
}

WaterOutcome evaluate_water(const TileRoof& roof, const TileParcel* parcel, const RoofClimate& place,
                            const TileRules& rules, RoofRows& result) {
    const WaterTask task{.roof = &roof, .parcel = parcel, .result = &result, .other_runoff = {}};
    return std::move(evaluate_waters({&task, 1}, place, rules).front());
}

}  // namespace eaveshed
