// method.md 6.13: metres of water and kPa.
#include "eaveshed/hydraulics/head.hpp"

#include <gtest/gtest.h>

namespace eaveshed {
namespace {

// R5.1 (derived: 1000 kg/m3, standard gravity): 1 m of water is 9.80665 kPa = 1.4223343 psi; 1 psi is 2.30666 ft.
TEST(Head, OfOneMetreIsTheExactPressure) {
    EXPECT_DOUBLE_EQ(pressure_of(Head{1.0}).kpa, 9.80665);
    EXPECT_NEAR(pressure_of(Head{1.0}).kpa / kKpaPerPsi, 1.4223343, 0.5e-7);
    EXPECT_NEAR(head_of(Pressure{kKpaPerPsi}).m / kMetresPerFoot, 2.30666, 0.5e-5);
}

// The exact definition of the pound-force per square inch gives 6.894757293168361 kPa (NIST SP 811, app. B.8, which
// prints 6.894757; from memory).
TEST(Head, PsiIsTheStandards) {
    EXPECT_NEAR(kKpaPerPsi, 6.894757293168361, 1e-14);
}

// R5.2 (read: University of Kentucky HO-120): 25 ft of head; 10.9 psi with the handbook's 2.3 ft/psi, 10.838 exact.
TEST(Head, OfTwentyFiveFeetIsTheHandbooksWithItsConstantAndAHairLessExactly) {
    EXPECT_NEAR(25.0 / 2.3, 10.9, 0.05);
    EXPECT_NEAR(pressure_of(Head{25.0 * kMetresPerFoot}).kpa / kKpaPerPsi, 10.838, 0.5e-3);
}

// R5.3 (derived): pad 4.0 m above the garden, water 2.4 m deep, outlet 0.10 m: full to the brim, and down to the
// outlet.
TEST(Head, OfATankAboveTheGardenFullAndEmpty) {
    EXPECT_NEAR(pressure_of(Head{4.0 + 2.4}).kpa, 62.76, 0.5e-2);
    EXPECT_NEAR(pressure_of(Head{4.0 + 0.10}).kpa, 40.21, 0.5e-2);
}

TEST(Head, GoesThereAndBackAndKeepsItsSign) {
    for (const double m : {-7.25, -1e-3, 0.0, 0.6, 12.0, 250.0}) {
        EXPECT_DOUBLE_EQ(head_of(pressure_of(Head{m})).m, m);
        EXPECT_DOUBLE_EQ(pressure_of(Head{-m}).kpa, -pressure_of(Head{m}).kpa);
    }
}

}  // namespace
}  // namespace eaveshed
