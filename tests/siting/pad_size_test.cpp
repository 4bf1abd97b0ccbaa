// method.md 6.2, 6.3: ground and cut of the tanks.
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

TEST(PadSize, CutsForOneTankAndClearsForAll) {
    const Tanks three{.diameter_m = 3.0, .height_m = 3.0, .count = 3};
    EXPECT_NEAR(tank_radius_m(three, 0.3), 1.8, 1e-12);
    EXPECT_NEAR(pad_radius_m(three, 0.3), 1.5 * 2.1547 + 0.3, 1e-12);
    EXPECT_EQ(ground_of(three, 0.3).tank_radius_m, tank_radius_m(three, 0.3));
    EXPECT_EQ(ground_of(three, 0.3).pad_radius_m, pad_radius_m(three, 0.3));
    EXPECT_NEAR(cut_m(1.8, 0.10), 0.36, 1e-12);
    EXPECT_NEAR(pad_elev_m(100.0, 1.8, 0.10), 99.82, 1e-12);  // level with the lowest edge of the cut
}

}  // namespace
}  // namespace eaveshed
