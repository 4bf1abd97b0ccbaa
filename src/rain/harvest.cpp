#include "eaveshed/rain/harvest.hpp"

#include <algorithm>

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
    HarvestDepths depths{std::vector<double>(step_count), std::vector<double>(step_count)};
    double left_mm = 0.0;
    int dry_run = rules.dry_days;  // whatever came before the record: its first wet day starts an event
    std::size_t next = 0;
    for (const Spell& spell : spells) {
        if (!spell.wet) {
            dry_run += spell.days;
            continue;
        }
        const double rain_mm = wet_mm[next++];
        const bool wet = rain_mm >= rules.wet_day_mm;
        if (wet && dry_run >= rules.dry_days) {
            left_mm = rules.first_flush_mm;
        }
        dry_run = wet ? 0 : dry_run + 1;
        const double runoff = rules.runoff_coefficient * rain_mm;
        const double diverted = std::min(left_mm, runoff);
        left_mm -= diverted;
        depths.diverted_mm[spell.step] += diverted;
        depths.harvest_mm[spell.step] += rules.collection_efficiency * (runoff - diverted);
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
