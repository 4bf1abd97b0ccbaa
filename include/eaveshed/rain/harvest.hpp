// What a roof sheds into its store: runoff less the first flush, as depths in mm over the connected roof.
#pragma once

#include <span>
#include <vector>

#include "eaveshed/core/lanes.hpp"
#include "eaveshed/core/spells.hpp"

namespace eaveshed {

struct HarvestRules {
    double runoff_coefficient = 0.0;     // C, share of the rain that runs off, 0..1
    double collection_efficiency = 0.0;  // eta, share of the runoff past the first flush that reaches the store, 0..1
    double first_flush_mm = 0.0;         // runoff diverted at the start of each event
    int dry_days = 0;                    // days not wet that end an event; 0 makes every wet day an event
    double wet_day_mm = 0.0;             // rain that makes a day wet, that depth included; > 0
    double mean_event_mm = 1.0;          // rain of a mean event, for records of months; > 0
};

// Per step of the record, mm over the roof that drains to the store.
struct HarvestDepths {
    std::vector<double> harvest_mm;   // eta (q - diverted), q = C P
    std::vector<double> diverted_mm;  // first flush, never more than the runoff q
};

// `rain_mm` has one depth per step of the timeline, none negative, none NaN (years.hpp turns missing steps dry).
// Days: an event starts on the record's first wet day and on every wet day after at least `dry_days` days not wet; what
// it still has to divert is carried from day to day, wet or not. Months (and mean months): P / mean_event_mm events,
// each diverting min(first_flush_mm, C mean_event_mm), together at most the runoff.
// method.md 3.2 to 3.4.
[[nodiscard]] HarvestDepths harvest_depths(const Timeline& timeline, std::span<const double> rain_mm,
                                           const HarvestRules& rules);

// A record of days in spells: `wet_mm` has one depth per wet spell, dry spells have none, and depths are summed over
// the `step_count` steps of the condensed timeline. Many roofs at once: harvest_lanes.hpp.
[[nodiscard]] HarvestDepths harvest_depths(std::span<const Spell> spells, std::size_t step_count,
                                           std::span<const double> wet_mm, const HarvestRules& rules);

// Volume of a depth over the connected part of a roof. The area is the plan area: rain falls vertically, so the pitch
// does not enter.
// method.md 3.1.
[[nodiscard]] constexpr double inflow_m3(double plan_area_m2, double connected_share, double depth_mm) {
    return plan_area_m2 * connected_share * depth_mm / 1000.0;
}
// The same for every step.
[[nodiscard]] std::vector<double> inflows_m3(double plan_area_m2, double connected_share,
                                             std::span<const double> depth_mm);

}  // namespace eaveshed
