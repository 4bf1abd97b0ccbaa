// method.md 6.2: ground of the tanks.
#include "eaveshed/siting/pad_size.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <numbers>

namespace eaveshed {
namespace {

// Ratios of the smallest circle around n equal ones, exact forms (Graham 1968; Pirl 1969; from memory): 1 + 2 / sqrt 3,
// 1 + sqrt 2, 1 + sqrt(2 (1 + 1 / sqrt 5)), 3, 3.
TEST(Packing, IsTheKnownOptimumForUpToSevenTanks) {
    const std::array<double, 7> exact{1.0,
                                      2.0,
                                      1.0 + 2.0 / std::numbers::sqrt3,
                                      1.0 + std::numbers::sqrt2,
                                      1.0 + std::sqrt(2.0 * (1.0 + 1.0 / std::sqrt(5.0))),
                                      3.0,
                                      3.0};
    for (std::size_t i = 0; i < exact.size(); ++i) {
        EXPECT_NEAR(packing(static_cast<int>(i) + 1), exact[i], 5.1e-5) << i + 1;
    }
}

// Known best for 10 circles: 3.813 (Pirl 1969, from memory); covering 0.68 gives 3.835.
TEST(Packing, GrowsWithTheRootBeyondSeven) {
    EXPECT_NEAR(packing(10), 3.813, 0.03);
    EXPECT_NEAR(packing(10), std::sqrt(10.0 / 0.68), 1e-15);
    for (int count = 1; count < 100; ++count) {
        EXPECT_GE(packing(count + 1), packing(count));
        EXPECT_GE(packing(count), std::sqrt(count)) << "circles that overlap";
    }
}

TEST(PadSize, IsTheGroundOfOneTankOrOfAllOnOneCircle) {
    const TankGround three = ground_of({.diameter_m = 3.0, .height_m = 3.0, .count = 3}, 0.3);
    EXPECT_NEAR(three.tank_radius_m, 1.8, 1e-12);
    EXPECT_NEAR(three.pad_radius_m, 2.1547 * 3.3 / 2.0 + 0.15, 1e-12);
    EXPECT_NEAR(three.spacing_m, 3.3, 1e-12);
    EXPECT_NEAR(three.row_span_m(), 6.6, 1e-12);
    EXPECT_EQ(three.reach_m(), three.pad_radius_m);
    const TankGround ten = ground_of({.diameter_m = 3.02, .height_m = 2.95, .count = 10}, 0.3);
    EXPECT_NEAR(ten.pad_radius_m, 3.8348 * 3.32 / 2.0 + 0.15, 1e-4);
    EXPECT_NEAR(ten.row_span_m() + 3.02, 32.9, 1e-12);  // ten tanks of 3 m in a row of 33 m
    EXPECT_NEAR(ten.reach_m(), 14.94, 1e-12);
}

TEST(PadSize, OfOneTankIsTheSameTwice) {
    const TankGround one = ground_of({.diameter_m = 2.41, .height_m = 2.31, .count = 1}, 0.3);
    EXPECT_EQ(one.pad_radius_m, one.tank_radius_m);
    EXPECT_NEAR(one.tank_radius_m, 1.505, 1e-12);
    EXPECT_EQ(one.row_span_m(), 0.0);
    EXPECT_EQ(one.reach_m(), 0.0);
}

// What every arrangement takes around its middle: the ground of the middle tank, or what two tanks share between them.
TEST(PadSize, HasACoreThatEveryArrangementTakes) {
    for (int count = 1; count <= 12; ++count) {
        const TankGround ground = ground_of({.diameter_m = 2.0, .height_m = 2.0, .count = count}, 0.4);
        EXPECT_EQ(ground.has_middle_tank(), count % 2 == 1);
        EXPECT_LE(ground.core_radius_m, ground.pad_radius_m);
        EXPECT_NEAR(ground.core_radius_m, count % 2 == 1 ? 1.4 : 1.4 - 1.2, 1e-8) << count;
    }
}

}  // namespace
}  // namespace eaveshed
