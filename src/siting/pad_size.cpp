#include "eaveshed/siting/pad_size.hpp"

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

double tank_radius_m(const Tanks& tanks, double pad_margin_m) {
    return tanks.diameter_m / 2.0 + pad_margin_m;
}

double pad_radius_m(const Tanks& tanks, double pad_margin_m) {
    return packing(tanks.count) * tanks.diameter_m / 2.0 + pad_margin_m;
}

TankGround ground_of(const Tanks& tanks, double pad_margin_m) {
    return {tank_radius_m(tanks, pad_margin_m), pad_radius_m(tanks, pad_margin_m)};
}

double pad_elev_m(double ground_elev_m, double tank_radius_m, double slope) {
    return ground_elev_m - tank_radius_m * slope;
}

}  // namespace eaveshed
