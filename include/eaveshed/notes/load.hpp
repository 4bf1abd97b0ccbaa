// What a full store weighs on its ground.
#pragma once

namespace eaveshed {

// Mass of the water of a full store, t: its usable volume at 1 t/m3, in which the reserve is held. What stands below
// the outlet and the tanks themselves come on top: some percent.
// method.md 10.6.
[[nodiscard]] constexpr double full_mass_t(double usable_m3) {
    constexpr double kWaterTPerM3 = 1.0;
    return usable_m3 * kWaterTPerM3;
}

// The bases of tanks that stand beside each other.
struct TankBases {
    double diameter_m = 0.0;  // of one; > 0
    int count = 1;
};

// Pressure of that mass on the tanks' flat round bases, kPa: m g / (n pi d2 / 4). Not the pressure on the levelled pad,
// which is wider.
// method.md 10.6.
[[nodiscard]] double bearing_kpa(double mass_t, const TankBases& bases);

}  // namespace eaveshed
