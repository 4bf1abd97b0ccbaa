// Water standing above a point, as a height and as a pressure: the same thing in two units.
#pragma once

#include "eaveshed/core/constants.hpp"

namespace eaveshed {

// One pound-force per square inch, kPa: international pound 0.45359237 kg, standard gravity, inch 0.0254 m; all exact.
inline constexpr double kKpaPerPsi = 0.45359237 * 9.80665 / (0.0254 * 0.0254) / 1000.0;

// Metres of water above the point; negative where the water lies below it.
struct Head {
    double m = 0.0;
};

// Gauge pressure: 0 is the pressure of the air.
struct Pressure {
    double kpa = 0.0;
};

// At 1000 kg/m3; real water between 0 and 30 C is lighter by less than half a percent, which no screening notices.
// method.md 6.13.
[[nodiscard]] constexpr Pressure pressure_of(Head head) {
    return {kKpaPerMetre * head.m};
}
[[nodiscard]] constexpr Head head_of(Pressure pressure) {
    return {pressure.kpa / kKpaPerMetre};
}

}  // namespace eaveshed
