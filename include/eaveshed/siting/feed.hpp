// From the gutter into the tank, and from the tank to the tap: margins, heads and pressures of one pad.
#pragma once

#include <span>

#include "eaveshed/siting/pad_rules.hpp"

namespace eaveshed {

// Fall that the line from the gutter needs over this distance.
[[nodiscard]] double fill_fall_m(double fill_distance_m, const PadRules& rules);

// Height left over between the gutter and the tank's top after what the line needs; negative: a pump has to lift.
// `fill_distance_m`: horizontally, from the roof.
// method.md 6.9.
[[nodiscard]] double fill_margin_m(double eave_elev_m, double pad_elev_m, const Tanks& tanks, double fill_distance_m,
                                   const PadRules& rules);

// Where the water is wanted, seen from a pad.
struct UseFromPad {
    double distance_m = 0.0;  // horizontally
    double use_elev_m = 0.0;  // of the ground
};

// Water at its reserve level above the tap; negative: the tap is higher.
// method.md 6.10.
[[nodiscard]] double static_head_m(double pad_elev_m, double use_elev_m, const Tanks& tanks, const PadRules& rules);

struct Feed {
    double static_head_m = 0.0;
    double pipe_m = 0.0;
    double friction_m = 0.0;
    double pressure_kpa = 0.0;       // with the store down to its reserve: the one that decides
    double pressure_full_kpa = 0.0;  // with the tanks full
};

// method.md 6.11 to 6.13.
[[nodiscard]] Feed feed_from(double pad_elev_m, const UseFromPad& use, const Tanks& tanks, const PadRules& rules);

// The part of the water drawn that reaches the minimum pressure, 0 to 1: pressure falls evenly from full to reserve.
// method.md 6.14.
[[nodiscard]] double gravity_volume_share(const Feed& feed, double minimum_kpa);

// Area of the garden cells that the pad serves at `kpa` before friction. `elevations_m`: of the garden's cells;
// `cell_area_m2`: that each stands for.
// method.md 6.24.
[[nodiscard]] double reach_m2(std::span<const double> elevations_m, double cell_area_m2, double pad_elev_m, double kpa,
                              const Tanks& tanks, const PadRules& rules);

}  // namespace eaveshed
