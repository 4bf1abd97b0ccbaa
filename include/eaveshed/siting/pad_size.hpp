// How much ground the tanks of a pad take.
#pragma once

#include "eaveshed/siting/pad_rules.hpp"

namespace eaveshed {

// Radius of the smallest circle that holds `count` equal circles, over theirs: 1, 2, 2.1547, 2.4142, 2.7013, 3, 3 for
// one to seven (the known optimal packings, to four decimals), sqrt(count / 0.68) beyond: about that share of a circle
// is covered. count >= 1.
// method.md 6.2.
[[nodiscard]] double packing(int count);

// The ground that the tanks of one option take, whatever the cell.
// method.md 6.2.
struct TankGround {
    int count = 1;
    double tank_radius_m = 0.0;  // rho1: of the level ground of one tank
    double pad_radius_m = 0.0;   // rho: of the one circle on which all of them stand side by side
    double spacing_m = 0.0;      // from tank to tank in a row
    // Of the circle around the middle that every arrangement takes: none stands nearer to anything than this.
    double core_radius_m = 0.0;

    // Between the centres of the outer tanks of a row.
    [[nodiscard]] double row_span_m() const { return (count - 1) * spacing_m; }
    // Whether a tank of the row stands in its middle.
    [[nodiscard]] bool has_middle_tank() const { return count % 2 != 0; }
    // The farthest that the middle of a tank, or a cell that is cut, can be from the middle of the pad.
    [[nodiscard]] double reach_m() const;
};
[[nodiscard]] TankGround ground_of(const Tanks& tanks, double pad_margin_m);

}  // namespace eaveshed
