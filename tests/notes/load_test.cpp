#include "eaveshed/notes/load.hpp"

#include <gtest/gtest.h>

namespace eaveshed {
namespace {

// Derived: 5,000 US gallons of 3.785411784 L.
TEST(Load, OfFiveThousandGallonsIsNearlyNineteenTonnes) {
    const double mass = full_mass_t(5000.0 * 0.003785411784);
    EXPECT_NEAR(mass, 18.9, 0.05);
    // 18.927 t x 9.80665 = 185.61 kN on pi / 4 x (10 x 0.3048)^2 = 7.2966 m2: 25.44 kPa
    EXPECT_NEAR(bearing_kpa(mass, {10.0 * 0.3048, 1}), 25.4, 0.05);
}

TEST(Load, GrowsWithTheStorageAndFallsWithTheGroundThatItStandsOn) {
    double last = 0.0;
    for (double usable = 0.5; usable < 200.0; usable *= 1.7) {
        const double mass = full_mass_t(usable);
        EXPECT_GT(mass, last);
        last = mass;
        EXPECT_LT(bearing_kpa(mass, {3.1, 2}), bearing_kpa(mass, {3.0, 2}));
        EXPECT_LT(bearing_kpa(mass, {3.0, 3}), bearing_kpa(mass, {3.0, 2}));
    }
}

TEST(Load, OfWaterInAnUprightCylinderIsTheWeightOfItsDepth) {
    // 2 m of water: 2 x 9.80665 kPa, whatever the width and the number of tanks.
    for (const double diameter : {0.9, 2.4, 7.0}) {
        const double volume = 3.0 * 2.0 * 3.14159265358979323846 / 4.0 * diameter * diameter;
        EXPECT_NEAR(bearing_kpa(full_mass_t(volume), {diameter, 3}), 2.0 * 9.80665, 1e-9);
    }
}

}  // namespace
}  // namespace eaveshed
