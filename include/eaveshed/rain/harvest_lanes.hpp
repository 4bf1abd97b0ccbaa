// Rain, first flush and inflow of several roofs at once, at several runoff coefficients, in one walk through a record.
#pragma once

#include <array>
#include <span>
#include <vector>

#include "eaveshed/core/lanes.hpp"
#include "eaveshed/rain/harvest.hpp"

namespace eaveshed {

// Runoff coefficients that are asked about beside a roof's own.
inline constexpr std::size_t kOtherRunoffs = 2;

struct LaneRoof {
    HarvestRules rules;
    double plan_area_m2 = 0.0;
    double connected_share = 0.0;
    std::array<double, kOtherRunoffs> other_runoff{};
};

// A roof a lane, an entry a step of the condensed timeline.
struct LaneHarvest {
    std::vector<Lanes> rain_mm;
    std::vector<Lanes> first_flush_m3;
    std::vector<Lanes> inflow_m3;
    std::array<std::vector<Lanes>, kOtherRunoffs> other_inflow_m3;  // at the other runoff coefficients
};

// What harvest_depths and inflows_m3 give for each of at most kLanes roofs, to the last bit. `wet_mm`: a depth per wet
// spell. The other runoff coefficients only `with_others`. `out` is filled anew: its memory is used again.
void run_harvests(std::span<const Spell> spells, std::size_t step_count, std::span<const Lanes> wet_mm,
                  std::span<const LaneRoof> roofs, bool with_others, LaneHarvest& out);

}  // namespace eaveshed
