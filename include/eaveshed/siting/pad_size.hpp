// How much ground the tanks of a pad take.
#pragma once

#include "eaveshed/siting/pad_rules.hpp"

namespace eaveshed {

// Radius of the smallest circle that holds `count` equal circles, over theirs: 1, 2, 2.1547, 2.4142, 2.7013, 3, 3 for
// one to seven (the known optimal packings, to four decimals), sqrt(count / 0.68) beyond: about that share of a circle
// is covered. count >= 1.
// method.md 6.2.
[[nodiscard]] double packing(int count);

// rho1: radius of the level ground that one tank needs. It decides the cut, because tanks stand in a row along the
// contour, each on its own cut.
[[nodiscard]] double tank_radius_m(const Tanks& tanks, double pad_margin_m);

// rho: radius of the ground that all tanks need together. It decides the setbacks.
[[nodiscard]] double pad_radius_m(const Tanks& tanks, double pad_margin_m);

// The ground that tanks take: of one of them and of all together, as radii.
struct TankGround {
    double tank_radius_m = 0.0;
    double pad_radius_m = 0.0;
};
[[nodiscard]] TankGround ground_of(const Tanks& tanks, double pad_margin_m);

// Cut ground, level with its lowest edge. `slope` in m per m.
// method.md 6.3.
[[nodiscard]] constexpr double cut_m(double tank_radius_m, double slope) {
    return 2.0 * tank_radius_m * slope;
}
[[nodiscard]] double pad_elev_m(double ground_elev_m, double tank_radius_m, double slope);

}  // namespace eaveshed
