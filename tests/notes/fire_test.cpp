#include "eaveshed/notes/fire.hpp"

#include <gtest/gtest.h>

namespace eaveshed {
namespace {

constexpr double kM3PerFt3 = 0.3048 * 0.3048 * 0.3048;
constexpr double kGalPerM3 = 1.0 / 0.003785411784;

FireWater need(double ft3, double hazard, double construction) {
    return fire_water_need({.volume_m3 = ft3 * kM3PerFt3, .occupancy_hazard = hazard, .construction = construction});
}

// NFPA 1142, the example of a dwelling of 50 by 24 ft and 24,000 ft3, as restated in training material (read in
// restatements): 24,000 / 7 x 1.5 = 5,143 gal.
TEST(FireWater, OfADwellingIsThatOfTheStandardsExample) {
    const FireWater water = need(24000.0, 7.0, 1.5);
    EXPECT_NEAR(water.without_exposure_m3 * kGalPerM3, 5143.0, 0.5);
    EXPECT_NEAR(water.with_exposure_m3 * kGalPerM3, 7714.0, 0.5);
}

// NFPA 1142 (2001) 7.3.2: not less than 3,000 gal (11,355 L) with exposures, and 2,000 without (read in restatements).
TEST(FireWater, IsNeverLessThanTheStandardsMinimum) {
    const FireWater hut = need(1000.0, 7.0, 1.5);
    EXPECT_NEAR(hut.without_exposure_m3 * kGalPerM3, 2000.0, 1e-9);
    EXPECT_NEAR(hut.with_exposure_m3, 11.355, 0.002);
}

TEST(FireWater, GrowsWithVolumeAndConstructionAndWithAWorseOccupancy) {
    double last = 0.0;
    for (double ft3 = 12000.0; ft3 < 200000.0; ft3 *= 1.5) {
        const double dwelling = need(ft3, 7.0, 1.5).without_exposure_m3;
        EXPECT_GT(dwelling, last);
        EXPECT_GT(need(ft3, 5.0, 1.5).without_exposure_m3, dwelling);
        EXPECT_GT(dwelling, need(ft3, 7.0, 1.2).without_exposure_m3);
        EXPECT_NEAR(need(ft3, 7.0, 1.5).with_exposure_m3, 1.5 * dwelling, 1e-9);
        last = dwelling;
    }
}

TEST(WallsVolume, IsAreaTimesStoreys) {
    // 120 m2 x 2 x 2.8 m
    EXPECT_DOUBLE_EQ(walls_volume_m3(120.0, 2.0, 2.8), 672.0);
}

}  // namespace
}  // namespace eaveshed
