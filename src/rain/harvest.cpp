#include "eaveshed/rain/harvest.hpp"

#include <algorithm>
#include <cstdint>
#include <utility>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

namespace {

HarvestDepths of_months(std::span<const double> rain_mm, const HarvestRules& rules) {
    HarvestDepths depths{std::vector<double>(rain_mm.size()), std::vector<double>(rain_mm.size())};
    const double per_event = std::min(rules.first_flush_mm, rules.runoff_coefficient * rules.mean_event_mm);
    for (std::size_t i = 0; i < rain_mm.size(); ++i) {
        const double runoff = rules.runoff_coefficient * rain_mm[i];
        const double diverted = std::min(runoff, rain_mm[i] / rules.mean_event_mm * per_event);
        depths.diverted_mm[i] = diverted;
        depths.harvest_mm[i] = rules.collection_efficiency * (runoff - diverted);
    }
    return depths;
}

}  // namespace

HarvestDepths harvest_depths(const Timeline& timeline, std::span<const double> rain_mm, const HarvestRules& rules) {
    if (rain_mm.size() != timeline.steps.size()) {
        internal_error("rain and timeline of different lengths");
    }
    if (timeline.kind == RainKind::daily) {
        return harvest_depths(as_recorded(timeline).spells, rain_mm.size(), rain_mm, rules);
    }
    return of_months(rain_mm, rules);
}

HarvestDepths harvest_depths(std::span<const Spell> spells, std::size_t step_count, std::span<const double> wet_mm,
                             const HarvestRules& rules) {
    return std::move(harvest_depths(spells, step_count, in_first_lane(wet_mm), {&rules, 1}).front());
}

namespace {

struct LaneRules {
    Lanes runoff_coefficient{};
    Lanes collection_efficiency{};
    Lanes first_flush_mm{};
    Lanes dry_days{};
    Lanes wet_day_mm{};
};

struct LaneDepths {
    Lanes harvest_mm{};
    Lanes diverted_mm{};
};

LaneRules in_lanes(std::span<const HarvestRules> rules) {
    LaneRules lanes;
    for (std::size_t k = 0; k < rules.size(); ++k) {
        lanes.runoff_coefficient[k] = rules[k].runoff_coefficient;
        lanes.collection_efficiency[k] = rules[k].collection_efficiency;
        lanes.first_flush_mm[k] = rules[k].first_flush_mm;
        lanes.dry_days[k] = rules[k].dry_days;
        lanes.wet_day_mm[k] = rules[k].wet_day_mm;
    }
    return lanes;
}

// What each lane still has to divert, and for how many days it has not been wet.
struct LaneEvents {
    Lanes left_mm{};
    Lanes dry_run{};
};

[[gnu::always_inline]] inline void add_wet_day(const Lanes& rain_mm, const LaneRules& rules, LaneEvents& events,
                                               LaneDepths& sum) {
    for (std::size_t k = 0; k < kLanes; ++k) {
        const bool wet = rain_mm[k] >= rules.wet_day_mm[k];
        const bool begins = wet && events.dry_run[k] >= rules.dry_days[k];
        const double left = begins ? rules.first_flush_mm[k] : events.left_mm[k];
        events.dry_run[k] = wet ? 0.0 : events.dry_run[k] + 1.0;
        const double runoff = rules.runoff_coefficient[k] * rain_mm[k];
        const double diverted = std::min(left, runoff);
        events.left_mm[k] = left - diverted;
        sum.diverted_mm[k] += diverted;
        sum.harvest_mm[k] += rules.collection_efficiency[k] * (runoff - diverted);
    }
}

// `out` has one entry per step, all zero.
EAVESHED_WIDEN void run_events(std::span<const Spell> spells, const Lanes* wet_mm, const LaneRules& rules_,
                               LaneDepths* out) {
    const LaneRules rules = rules_;  // local copies can stay in registers
    LaneEvents events;
    events.dry_run = rules.dry_days;  // whatever came before the record: its first wet day starts an event
    LaneDepths sum;
    std::uint32_t step = 0;
    for (const Spell& spell : spells) {
        if (spell.step != step) {
            out[step] = sum;
            sum = LaneDepths{};
            step = spell.step;
        }
        if (spell.wet) {
            add_wet_day(*wet_mm++, rules, events, sum);
            continue;
        }
        for (double& days : events.dry_run) {
            days += spell.days;
        }
    }
    out[step] = sum;
}

}  // namespace

std::vector<HarvestDepths> harvest_depths(std::span<const Spell> spells, std::size_t step_count,
                                          std::span<const Lanes> wet_mm, std::span<const HarvestRules> rules) {
    if (rules.size() > kLanes) {
        internal_error("more roofs than lanes");
    }
    std::vector<LaneDepths> steps(step_count);
    if (!spells.empty()) {
        run_events(spells, wet_mm.data(), in_lanes(rules), steps.data());
    }
    std::vector<HarvestDepths> depths(rules.size());
    for (std::size_t k = 0; k < rules.size(); ++k) {
        depths[k].harvest_mm = lane_of(steps, k, [](const LaneDepths& at) -> const Lanes& { return at.harvest_mm; });
        depths[k].diverted_mm = lane_of(steps, k, [](const LaneDepths& at) -> const Lanes& { return at.diverted_mm; });
    }
    return depths;
}

std::vector<double> inflows_m3(double plan_area_m2, double connected_share, std::span<const double> depth_mm) {
    std::vector<double> inflows(depth_mm.size());
    std::transform(depth_mm.begin(), depth_mm.end(), inflows.begin(), [plan_area_m2, connected_share](double depth) {
        return inflow_m3(plan_area_m2, connected_share, depth);
    });
    return inflows;
}

}  // namespace eaveshed
