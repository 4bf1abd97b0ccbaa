// Rain, first flush and inflow of several roofs at once, at several runoff coefficients, in one walk through a record.
#pragma once

#include <array>
#include <span>
#include <vector>

#include "eaveshed/core/lanes.hpp"
#include "eaveshed/core/season.hpp"
#include "eaveshed/core/spells.hpp"
#include "eaveshed/lanes/vectors.hpp"
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

// A roof a lane.
struct LaneHarvest {
    std::vector<Lanes> rain_mm;         // sums of the tank years over the months asked for: an entry a year
    std::vector<Lanes> first_flush_m3;  // likewise
    std::vector<Lanes> inflow_m3;       // an entry a step of the condensed timeline
    std::array<std::vector<Lanes>, kOtherRunoffs> other_inflow_m3;  // likewise, at the other runoff coefficients
};

// What harvest_depths and inflows_m3 give for each of at most kLanes roofs, and their sums as year_sums, to the last
// bit. `wet_mm`: a depth per wet spell. The other runoff coefficients only `with_others`. `out` is filled anew: its
// memory is used again.
void run_harvests(const CondensedDays& days, MonthSet months, std::span<const Lanes> wet_mm,
                  std::span<const LaneRoof> roofs, bool with_others, LaneHarvest& out,
                  Vectors vectors = widest_vectors());

}  // namespace eaveshed
