#include "roof_steps.hpp"

#include <algorithm>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/spells.hpp"

namespace eaveshed {

RoofSteps steps_of_months(const Timeline& timeline, const std::vector<double>& rain_mm, const RoofRules& roof,
                          const Season& season) {
    const auto volumes_m3 = [&](const std::vector<double>& depths_mm) {
        return inflows_m3(roof.plan_area_m2, roof.connected_share, depths_mm);
    };
    const HarvestDepths depths = harvest_depths(timeline, rain_mm, roof.harvest);
    RoofSteps steps{rain_mm,
                    volumes_m3(depths.diverted_mm),
                    volumes_m3(depths.harvest_mm),
                    demand_m3(timeline, rain_mm, season, roof.demand),
                    {}};
    for (const double coefficient : roof.other_runoff) {
        HarvestRules other = roof.harvest;
        other.runoff_coefficient = coefficient;
        steps.other_inflow_m3.push_back(volumes_m3(harvest_depths(timeline, rain_mm, other).harvest_mm));
    }
    return steps;
}

void run_days(const CondensedDays& days, std::span<const RoofRules> roofs, const Season& season, LaneSteps& steps) {
    std::vector<LaneRoof> harvest;
    std::vector<DemandInputs> demand;
    bool with_others = false;
    for (const RoofRules& roof : roofs) {
        if (roof.other_runoff.size() > kOtherRunoffs) {
            internal_error("more runoff coefficients asked about than there is room for");
        }
        LaneRoof& lane = harvest.emplace_back(LaneRoof{roof.harvest, roof.plan_area_m2, roof.connected_share});
        std::ranges::copy(roof.other_runoff, lane.other_runoff.begin());
        with_others = with_others || !roof.other_runoff.empty();
        demand.push_back(roof.demand);
    }
    run_harvests(days, season.fill, steps.wet_mm, harvest, with_others, steps.harvest);
    run_demands(days.timeline, days.spells, steps.wet_mm, season, demand, steps.demand_m3);
}

}  // namespace eaveshed
