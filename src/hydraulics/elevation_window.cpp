#include "eaveshed/hydraulics/elevation_window.hpp"

#include "eaveshed/core/constants.hpp"

namespace eaveshed {

double minimum_head_m(const WindowRules& rules) {
    return (rules.minimum_kpa + rules.filter_loss_kpa) / kKpaPerMetre;
}

ElevationWindow elevation_window(double eave_elev_m, double use_elev_m, double tank_height_m, double reserve_depth_m,
                                 const WindowRules& rules) {
    return {use_elev_m + rules.tap_height_m + minimum_head_m(rules) - rules.outlet_height_m - reserve_depth_m,
            eave_elev_m - tank_height_m - rules.fill_loss_m};
}

double reserve_depth_m(double reserve_m3, double usable_m3, double tank_height_m, double outlet_height_m) {
    return reserve_m3 / usable_m3 * (tank_height_m - outlet_height_m);
}

}  // namespace eaveshed
