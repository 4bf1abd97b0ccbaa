#include "eaveshed/siting/feed.hpp"

#include <algorithm>
#include <cmath>

#include "eaveshed/core/constants.hpp"

namespace eaveshed {

double fill_fall_m(double fill_distance_m, const PadRules& rules) {
    return rules.fill_gradient * fill_distance_m;
}

double fill_margin_m(double eave_elev_m, double pad_elev_m, const Tanks& tanks, double fill_distance_m,
                     const PadRules& rules) {
    return eave_elev_m - (pad_elev_m + tanks.height_m) - rules.fill_loss_m - fill_fall_m(fill_distance_m, rules);
}

double static_head_m(double pad_elev_m, double use_elev_m, const Tanks& tanks, const PadRules& rules) {
    return pad_elev_m + rules.outlet_height_m + tanks.reserve_depth_m - (use_elev_m + rules.tap_height_m);
}

Feed feed_from(double pad_elev_m, const UseFromPad& use, const Tanks& tanks, const PadRules& rules) {
    const double rise = pad_elev_m - use.use_elev_m;
    Feed feed;
    feed.static_head_m = static_head_m(pad_elev_m, use.use_elev_m, tanks, rules);
    feed.pipe_m = rules.pipe_slack * std::sqrt(use.distance_m * use.distance_m + rise * rise);
    feed.friction_m = rules.friction_m_per_m * feed.pipe_m;
    feed.pressure_kpa = kKpaPerMetre * (feed.static_head_m - feed.friction_m) - rules.filter_loss_kpa;
    feed.pressure_full_kpa = feed.pressure_kpa + kKpaPerMetre * tanks.drawn_depth_m(rules.outlet_height_m);
    return feed;
}

double gravity_volume_share(const Feed& feed, double minimum_kpa) {
    if (feed.pressure_kpa >= minimum_kpa) {
        return 1.0;
    }
    const double fall = feed.pressure_full_kpa - feed.pressure_kpa;
    return fall > 0.0 ? std::clamp((feed.pressure_full_kpa - minimum_kpa) / fall, 0.0, 1.0) : 0.0;
}

double reach_m2(std::span<const double> elevations_m, double cell_area_m2, double pad_elev_m, double kpa,
                const Tanks& tanks, const PadRules& rules) {
    const double highest = pad_elev_m + rules.outlet_height_m + tanks.reserve_depth_m - rules.tap_height_m -
                           (kpa + rules.filter_loss_kpa) / kKpaPerMetre;
    const auto served = std::ranges::count_if(elevations_m, [&](double elevation) { return elevation <= highest; });
    return static_cast<double>(served) * cell_area_m2;
}

}  // namespace eaveshed
