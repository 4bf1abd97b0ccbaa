// What the rain does at roofs, step by step, whatever kind of record it comes from. Private to the module.
#pragma once

#include <span>
#include <vector>

#include "eaveshed/core/season.hpp"
#include "eaveshed/core/timeline.hpp"
#include "eaveshed/demand/demand.hpp"
#include "eaveshed/rain/harvest.hpp"
#include "eaveshed/rain/record.hpp"

namespace eaveshed {

// What one roof makes of the rain: the same for every year and in a dry winter.
struct RoofRules {
    HarvestRules harvest;
    DemandInputs demand;
    std::vector<double> other_runoff;  // other runoff coefficients that are asked about
};

// In every step of the record's timeline.
struct RoofSteps {
    std::vector<double> rain_mm;
    HarvestDepths depths;
    std::vector<double> demand_m3;
    std::vector<std::vector<double>> other_harvest_mm;  // at the other runoff coefficients
};

// One roof under months. `rain_mm`: none missing.
[[nodiscard]] RoofSteps steps_of_months(const Timeline& timeline, const std::vector<double>& rain_mm,
                                        const RoofRules& roof, const Season& season);

// A roof under rain: depths as the record has them, none missing.
struct RainedRoof {
    const std::vector<double>& depths_mm;
    const RoofRules& rules;
};

// Roofs under a record of any kind, at most kLanes. Each is to the last bit what it is alone.
[[nodiscard]] std::vector<RoofSteps> steps_of(const RainRecord& record, std::span<const RainedRoof> roofs,
                                              const Season& season);

}  // namespace eaveshed
