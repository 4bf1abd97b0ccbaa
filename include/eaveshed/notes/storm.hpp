// What a storm brings off a roof, and what a line that stands full of water loses of it on the way to the tank.
#pragma once

#include "eaveshed/hydraulics/friction.hpp"

namespace eaveshed {

// Peak runoff of a roof by the rational method, L/s: C i A / 3600 with i in mm/h and A in m2, since 1 mm on 1 m2 is 1 L
// (Kuichling 1889, The relation between the rainfall and the discharge of sewers in populous districts, Transactions of
// the ASCE 20). The whole plan area counts: what of it misses the downspouts reaches the ground all the same. Linear in
// each; of several roofs the peaks add.
// method.md 10.4.
[[nodiscard]] constexpr double storm_peak_lps(double runoff_coefficient, double storm_mm_h, double plan_area_m2) {
    return runoff_coefficient * storm_mm_h * plan_area_m2 / 3600.0;
}

// Standard gravity, m/s2: exact (3rd CGPM 1901).
inline constexpr double kGravityMS2 = 9.80665;

// A line that stays full of water and rises again at the tank. `fittings` is the sum of the loss coefficients of its
// bends, entry and exit, in velocity heads (>= 0).
struct WetLine {
    Pipe pipe;
    double length_m = 0.0;
    double fittings = 0.0;
};

// Common practice: 100 mm pipe, smooth plastic, five velocity heads in bends, entry and exit.
inline constexpr double kWetLineBoreM = 0.1;
inline constexpr double kWetLineFittings = 5.0;

// How much lower than the gutter the tank's inlet has to be for this flow, before any margin: friction by Hazen and
// Williams and the fittings' velocity heads, v2 / 2g. Odd in the flow, like friction_loss.
// method.md 10.5.
[[nodiscard]] Head wet_line_loss(const WetLine& line, Flow flow);

}  // namespace eaveshed
