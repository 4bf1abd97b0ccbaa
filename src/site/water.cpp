#include "eaveshed/site/water.hpp"

#include <algorithm>
#include <array>
#include <utility>
#include <variant>
#include <vector>

#include "eaveshed/core/lanes.hpp"
#include "eaveshed/core/year_statistics.hpp"
#include "eaveshed/lanes/lane_statistics.hpp"
#include "eaveshed/rain/record.hpp"
#include "eaveshed/rain/years.hpp"
#include "eaveshed/roof/runoff.hpp"
#include "eaveshed/site/take.hpp"
#include "eaveshed/storage/recommend.hpp"
#include "roof_steps.hpp"

namespace eaveshed {

namespace {

// The columns of rain and harvest.
struct RainFigures {
    double fill_rain_mm = 0.0;
    double first_flush_m3 = 0.0;
    double demand_m3 = 0.0;
    HarvestFigures harvest;
};

HarvestRules harvest_rules(const HarvestSettings& settings, double runoff_coefficient) {
    return {.runoff_coefficient = runoff_coefficient,
            .collection_efficiency = settings.collection_efficiency,
            .first_flush_mm = settings.first_flush_mm,
            .dry_days = settings.dry_days,
            .wet_day_mm = settings.wet_day_mm,
            .mean_event_mm = settings.mean_event_mm};
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

void fill_rain(const RainFigures& figures, RoofRow& row) {
    row.fill_rain_mm = figures.fill_rain_mm;
    row.first_flush_m3 = figures.first_flush_m3;
    row.demand_m3 = figures.demand_m3;
    row.harvest_mean_m3 = figures.harvest.mean_m3;
    row.harvest_median_m3 = figures.harvest.median_m3;
    row.harvest_dependable_m3 = figures.harvest.dependable_m3;
}

// A roof with rain, on its way through the computation.
struct WetRoof {
    std::vector<double> depths_mm;  // as the record has them, in the rules' climate; dry where nothing is known
    std::vector<TankYear> counted;
};

void note_years(const std::vector<TankYear>& counted, const Timeline& timeline, Flags& flags) {
    if (timeline.is_series() && counted.size() < kShortRecordYears) {
        flags.add(Flag::short_record);
    }
}

// Fills what the rain says of a row; none where it says nothing.
std::optional<WetRoof> wet_roof(const WaterTask& task, const std::optional<SampledSeries>& sampled,
                                const RoofClimate& climate, const TileRules& rules) {
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
    note_years(wet.counted, climate.timeline(), flags);
    wet.depths_mm = dry_where_missing(sampled->values);
    if (rules.rain_factor != kAsRecorded) {
        scale_by_month(climate.record(), rules.rain_factor, wet.depths_mm);
    }
    return wet;
}

// Fills what is known or assumed of the roof and of its summer take.
RoofRules rules_of(const WaterTask& task, const RoofClimate& climate, const TileRules& rules, WaterOutcome& outcome) {
    RoofRules of_roof;
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
    of_roof.plan_area_m2 = *roof.plan_area_m2;
    of_roof.connected_share = connected.value;
    return of_roof;
}

void finish_options(std::vector<OptionResult> options, const TileRules& rules, RoofRows& result,
                    WaterOutcome& outcome) {
    outcome.has_rain = true;
    outcome.options = std::move(options);
    result.curve = curve_rows(outcome.options);
    outcome.recommended = recommended_option(outcome.options, rules.recommend);
}

// A roof under months.
void finish_months(const WaterTask& task, WetRoof wet, const RoofClimate& climate, const TileRules& rules,
                   WaterOutcome& outcome) {
    const Timeline& timeline = climate.timeline();
    const Settings& settings = *rules.settings;
    const RoofRules of_roof = rules_of(task, climate, rules, outcome);
    RoofSteps steps = steps_of_months(timeline, wet.depths_mm, of_roof, rules.season);
    const auto mean = [&](const std::vector<double>& series, MonthSet months) {
        return year_statistics(year_sums(series, timeline, months, wet.counted), settings.storage.reliability).mean;
    };
    RainFigures figures{mean(steps.rain_mm, rules.season.fill),
                        mean(steps.first_flush_m3, rules.season.fill),
                        mean(steps.demand_m3, rules.season.forbear),
                        {}};
    WaterRecord& record = outcome.record;
    record = {wet.counted, {std::move(steps.inflow_m3), std::move(steps.demand_m3)}, std::nullopt};
    for (std::vector<double>& inflow : steps.other_inflow_m3) {
        outcome.at_other_runoff.push_back({std::move(inflow), {}});
    }
    if (!timeline.is_series()) {
        if (const auto factor = settings.rain.dry_winter_factor) {
            RoofSteps dry = steps_of_months(timeline, in_dry_winter(wet.depths_mm, *factor), of_roof, rules.season);
            record.dry = {std::move(dry.inflow_m3), std::move(dry.demand_m3)};
            for (std::size_t i = 0; i < dry.other_inflow_m3.size(); ++i) {
                outcome.at_other_runoff[i].dry_inflow_m3 = std::move(dry.other_inflow_m3[i]);
            }
        }
        task.result->roof.flags.add(record.dry ? Flag::assumed_dry_winter : Flag::mean_year_only);
    }
    figures.harvest = harvest_figures(record, timeline, rules);
    fill_rain(figures, task.result->roof);
    finish_options(store_results(record, timeline, rules, rules.options), rules, *task.result, outcome);
}

// Of each lane over the years that count in it.
class LaneSums {
public:
    // `sums`: one a year of the timeline.
    LaneSums(std::vector<Lanes> sums, const Timeline& timeline, double reliability)
        : m_sums(std::move(sums)), m_timeline(timeline), m_reliability(reliability) {
        std::vector<Lanes> sorted = m_sums;
        m_all_years = lane_statistics(sorted, reliability);
    }

    [[nodiscard]] YearStatistics of(std::size_t lane, const std::vector<TankYear>& counted) const {
        if (counted.size() == m_timeline.years.size()) {
            return m_all_years.of(lane);
        }
        std::vector<double> sums;
        for (std::size_t year = 0; year < m_sums.size(); ++year) {
            if (std::ranges::find(counted, m_timeline.years[year].begin, &TankYear::begin) != counted.end()) {
                sums.push_back(m_sums[year][lane]);
            }
        }
        return year_statistics(sums, m_reliability);
    }

private:
    std::vector<Lanes> m_sums;
    const Timeline& m_timeline;
    double m_reliability;
    LaneStatistics m_all_years;
};

// Roofs under days, as many as there are lanes.
class DayRoofs {
public:
    DayRoofs(const CondensedDays& days, const RoofClimate& climate, const TileRules& rules)
        : m_days(days), m_climate(climate), m_rules(rules) {}

    void run(std::span<const WaterTask> tasks, std::span<WaterOutcome> outcomes);

private:
    void take_rain(std::span<const WaterTask> tasks);
    void fill_rows(std::span<const WaterTask> tasks, std::span<WaterOutcome> outcomes) const;

    const CondensedDays& m_days;
    const RoofClimate& m_climate;
    const TileRules& m_rules;
    LaneSteps m_steps;
    std::array<std::vector<TankYear>, kLanes> m_counted;  // by lane; none where there is no rain
};

void DayRoofs::take_rain(std::span<const WaterTask> tasks) {
    std::vector<const ClimatePlace*> places;
    for (const WaterTask& task : tasks) {
        places.push_back(&task.roof->climate_place);
    }
    const auto samples = m_climate.rain_in_lanes(places, m_steps.wet_mm);
    for (std::size_t k = 0; k < tasks.size(); ++k) {
        m_counted[k].clear();
        if (samples[k] == LaneSample::whole && m_rules.rain_factor == kAsRecorded) {
            m_counted[k] = m_days.timeline.years;
            note_years(m_counted[k], m_days.timeline, tasks[k].result->roof.flags);
            continue;
        }
        const auto sampled = samples[k] == LaneSample::none
                                 ? m_climate.rain_at(*places[k])
                                 : std::optional(SampledSeries{lane_of(m_steps.wet_mm, k), false});
        if (auto wet = wet_roof(tasks[k], sampled, m_climate, m_rules)) {
            m_counted[k] = std::move(wet->counted);
            put_lane(wet->depths_mm, k, m_steps.wet_mm);
        }
    }
}

void DayRoofs::fill_rows(std::span<const WaterTask> tasks, std::span<WaterOutcome> outcomes) const {
    const Timeline& timeline = m_days.timeline;
    const Season& season = m_rules.season;
    const LaneHarvest& harvest = m_steps.harvest;
    const double reliability = m_rules.settings->storage.reliability;
    const LaneSums rain(harvest.rain_mm, timeline, reliability);
    const LaneSums first_flush(harvest.first_flush_m3, timeline, reliability);
    const LaneSums inflow(year_sums(harvest.inflow_m3, timeline, season.fill), timeline, reliability);
    const LaneSums demand(year_sums(m_steps.demand_m3, timeline, season.forbear), timeline, reliability);
    auto inflows_m3 = series_of_lanes(harvest.inflow_m3, tasks.size());
    auto demands_m3 = series_of_lanes(m_steps.demand_m3, tasks.size());
    for (std::size_t k = 0; k < tasks.size(); ++k) {
        const std::vector<TankYear>& counted = m_counted[k];
        if (counted.empty()) {
            continue;
        }
        const YearStatistics stored = inflow.of(k, counted);
        fill_rain({rain.of(k, counted).mean, first_flush.of(k, counted).mean, demand.of(k, counted).mean,
                   HarvestFigures{stored.mean, stored.median, stored.dependable}},
                  tasks[k].result->roof);
        WaterOutcome& outcome = outcomes[k];
        outcome.record = {counted, {std::move(inflows_m3[k]), std::move(demands_m3[k])}, std::nullopt};
    }
}

void DayRoofs::run(std::span<const WaterTask> tasks, std::span<WaterOutcome> outcomes) {
    take_rain(tasks);
    std::vector<RoofRules> roofs(tasks.size());
    std::vector<const WaterRecord*> records;
    for (std::size_t k = 0; k < tasks.size(); ++k) {
        if (!m_counted[k].empty()) {
            roofs[k] = rules_of(tasks[k], m_climate, m_rules, outcomes[k]);
            records.push_back(&outcomes[k].record);
        }
    }
    if (records.empty()) {
        return;
    }
    run_days(m_days, roofs, m_rules.season, m_steps);
    fill_rows(tasks, outcomes);
    auto options = store_results(records, m_days.timeline, m_rules, m_rules.options);
    std::array<std::vector<std::vector<double>>, kOtherRunoffs> others_m3;
    for (std::size_t other = 0; other < kOtherRunoffs; ++other) {
        others_m3[other] = series_of_lanes(m_steps.harvest.other_inflow_m3[other], tasks.size());
    }
    std::size_t next = 0;
    for (std::size_t k = 0; k < tasks.size(); ++k) {
        if (m_counted[k].empty()) {
            continue;
        }
        for (std::size_t other = 0; other < roofs[k].other_runoff.size(); ++other) {
            outcomes[k].at_other_runoff.push_back({std::move(others_m3[other][k]), {}});
        }
        finish_options(std::move(options[next++]), m_rules, *tasks[k].result, outcomes[k]);
    }
}

}  // namespace

std::vector<WaterOutcome> evaluate_waters(std::span<const WaterTask> tasks, const RoofClimate& climate,
                                          const TileRules& rules) {
    std::vector<WaterOutcome> outcomes(tasks.size());
    if (const auto* const days = std::get_if<CondensedDays>(&climate.record())) {
        DayRoofs roofs(*days, climate, rules);
        for (std::size_t first = 0; first < tasks.size(); first += kLanes) {
            const std::size_t count = std::min(kLanes, tasks.size() - first);
            roofs.run(tasks.subspan(first, count), std::span(outcomes).subspan(first, count));
        }
        return outcomes;
    }
    for (std::size_t i = 0; i < tasks.size(); ++i) {
        if (auto wet = wet_roof(tasks[i], climate.rain_at(tasks[i].roof->climate_place), climate, rules)) {
            finish_months(tasks[i], std::move(*wet), climate, rules, outcomes[i]);
        }
    }
    return outcomes;
}

WaterOutcome evaluate_water(const TileRoof& roof, const TileParcel* parcel, const RoofClimate& climate,
                            const TileRules& rules, RoofRows& result) {
    const WaterTask task{.roof = &roof, .parcel = parcel, .result = &result, .other_runoff = {}};
    return std::move(evaluate_waters({&task, 1}, climate, rules).front());
}

}  // namespace eaveshed
