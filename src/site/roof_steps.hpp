// What the rain does at roofs, step by step, whatever kind of record it comes from. Private to the module.
#pragma once

#include <span>
#include <vector>

#include "eaveshed/core/season.hpp"
#include "eaveshed/core/timeline.hpp"
#include "eaveshed/demand/demand.hpp"
#include "eaveshed/rain/harvest_lanes.hpp"
#include "eaveshed/rain/record.hpp"

namespace eaveshed {

// What one roof makes of the rain: the same for every year and in a dry winter.
struct RoofRules {
    HarvestRules harvest;
    DemandInputs demand;
    std::vector<double> other_runoff;  // other runoff coefficients that are asked about, at most kOtherRunoffs
    double plan_area_m2 = 0.0;
    double connected_share = 0.0;
};

// One roof in every step of the record's timeline.
struct RoofSteps {
    std::vector<double> rain_mm;
    std::vector<double> first_flush_m3;
    std::vector<double> inflow_m3;
    std::vector<double> demand_m3;
    std::vector<std::vector<double>> other_inflow_m3;  // at the other runoff coefficients
};

// One roof under months. `rain_mm`: none missing.
[[nodiscard]] RoofSteps steps_of_months(const Timeline& timeline, const std::vector<double>& rain_mm,
                                        const RoofRules& roof, const Season& season);

// Roofs under days, a roof a lane: each is to the last bit what it is alone.
struct LaneSteps {
    std::vector<Lanes> wet_mm;  // a depth a wet spell, none missing
    LaneHarvest harvest;
    std::vector<Lanes> demand_m3;
};

// From wet_mm the rest. At most kLanes roofs.
void run_days(const CondensedDays& days, std::span<const RoofRules> roofs, const Season& season, LaneSteps& steps);

}  // namespace eaveshed
