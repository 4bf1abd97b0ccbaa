// Between which elevations a pad does without any pump.
#pragma once

namespace eaveshed {

// Heights above the pad or the ground in m, pressures in kPa.
struct WindowRules {
    double tap_height_m = 0.0;
    double outlet_height_m = 0.0;
    double minimum_kpa = 0.0;
    double filter_loss_kpa = 0.0;
    double fill_loss_m = 0.0;
};

// Low: the pad whose water at the reserve level still gives the minimum pressure at the tap, friction left out. High:
// the pad whose tank top the gutter still reaches with the fill loss, distance left out. Low above high: no site can do
// without a pump, and the difference says by how much.
struct ElevationWindow {
    double low_elev_m = 0.0;
    double high_elev_m = 0.0;
};

// method.md 6.23.
[[nodiscard]] ElevationWindow elevation_window(double eave_elev_m, double use_elev_m, double tank_height_m,
                                               double reserve_depth_m, const WindowRules& rules);

// Height of water that gives the minimum pressure after the filter.
[[nodiscard]] double minimum_head_m(const WindowRules& rules);

// Depth that the reserve holds back above the outlet: reserve / usable x (height - outlet height).
// method.md 6.10.
[[nodiscard]] double reserve_depth_m(double reserve_m3, double usable_m3, double tank_height_m, double outlet_height_m);

}  // namespace eaveshed
