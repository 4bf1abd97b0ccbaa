#include "roof_steps.hpp"

#include <algorithm>
#include <utility>
#include <variant>

#include "eaveshed/core/lanes.hpp"
#include "eaveshed/core/spells.hpp"
#include "eaveshed/rain/years.hpp"

namespace eaveshed {

namespace {

HarvestRules with_runoff(HarvestRules rules, double runoff_coefficient) {
    rules.runoff_coefficient = runoff_coefficient;
    return rules;
}

// A roof a lane.
std::vector<Lanes> in_lanes(std::size_t depths, std::span<const RainedRoof> roofs) {
    std::vector<Lanes> lanes(depths);
    for (std::size_t k = 0; k < roofs.size(); ++k) {
        for (std::size_t i = 0; i < depths; ++i) {
            lanes[i][k] = roofs[k].depths_mm[i];
        }
    }
    return lanes;
}

// At the other runoff coefficients; a roof that asks about fewer than its neighbours runs idle beside them.
void add_other_harvests(const CondensedDays& days, const std::vector<Lanes>& wet_mm, std::span<const RainedRoof> roofs,
                        std::vector<HarvestRules> harvest, std::vector<RoofSteps>& steps) {
    std::size_t others = 0;
    for (const RainedRoof& roof : roofs) {
        others = std::max(others, roof.rules.other_runoff.size());
    }
    for (std::size_t other = 0; other < others; ++other) {
        for (std::size_t k = 0; k < roofs.size(); ++k) {
            const auto& coefficients = roofs[k].rules.other_runoff;
            harvest[k] = with_runoff(harvest[k], other < coefficients.size() ? coefficients[other] : 0.0);
        }
        std::vector<HarvestDepths> depths = harvest_depths(days.spells, days.timeline.steps.size(), wet_mm, harvest);
        for (std::size_t k = 0; k < roofs.size(); ++k) {
            if (other < roofs[k].rules.other_runoff.size()) {
                steps[k].other_harvest_mm.push_back(std::move(depths[k].harvest_mm));
            }
        }
    }
}

std::vector<RoofSteps> steps_of_days(const CondensedDays& days, std::span<const RainedRoof> roofs,
                                     const Season& season) {
    const std::size_t count = days.timeline.steps.size();
    std::vector<HarvestRules> harvest;
    std::vector<DemandInputs> inputs;
    for (const RainedRoof& roof : roofs) {
        harvest.push_back(roof.rules.harvest);
        inputs.push_back(roof.rules.demand);
    }
    const std::vector<Lanes> wet_mm = in_lanes(days.wet_steps.size(), roofs);
    const std::vector<Lanes> rain_mm = step_sums(days.spells, count, wet_mm);
    std::vector<HarvestDepths> depths = harvest_depths(days.spells, count, wet_mm, harvest);
    auto demands = demands_m3(days.timeline, days.spells, wet_mm, season, inputs);
    std::vector<RoofSteps> steps;
    steps.reserve(roofs.size());
    for (std::size_t k = 0; k < roofs.size(); ++k) {
        steps.push_back({lane_of(rain_mm, k), std::move(depths[k]), std::move(demands[k]), {}});
    }
    add_other_harvests(days, wet_mm, roofs, std::move(harvest), steps);
    return steps;
}

}  // namespace

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

std::vector<RoofSteps> steps_of(const RainRecord& record, std::span<const RainedRoof> roofs, const Season& season) {
    if (const auto* const days = std::get_if<CondensedDays>(&record)) {
        return steps_of_days(*days, roofs, season);
    }
    std::vector<RoofSteps> steps;
    steps.reserve(roofs.size());
    for (const RainedRoof& roof : roofs) {
        steps.push_back(steps_of_months(timeline_of(record), roof.depths_mm, roof.rules, season));
    }
    return steps;
}

}  // namespace eaveshed
