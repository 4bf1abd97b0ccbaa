#include "eaveshed/siting/pad_size.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

double packing(int count) {
    constexpr std::array kRatios{1.0, 2.0, 2.1547, 2.4142, 2.7013, 3.0, 3.0};
    constexpr double kCoveredShare = 0.68;
    if (count < 1) {
        internal_error("a pad for no tank");
    }
    const auto index = static_cast<std::size_t>(count - 1);
    return index < kRatios.size() ? kRatios[index] : std::sqrt(count / kCoveredShare);
}

double TankGround::reach_m() const {
    return count == 1 ? 0.0 : std::max(pad_radius_m, row_span_m() / 2.0);
}

TankGround ground_of(const Tanks& tanks, double pad_margin_m) {
    TankGround ground{.count = tanks.count,
                      .tank_radius_m = tanks.diameter_m / 2.0 + pad_margin_m,
                      .spacing_m = tanks.diameter_m + pad_margin_m};
    ground.pad_radius_m =
        tanks.count == 1 ? ground.tank_radius_m : packing(tanks.count) * ground.spacing_m / 2.0 + pad_margin_m / 2.0;
    constexpr double kGuardM = 1e-9;  // rounding must not make a bound too tight
    ground.core_radius_m = ground.has_middle_tank() ? ground.tank_radius_m : pad_margin_m / 2.0 - kGuardM;
    return ground;
}

}  // namespace eaveshed
