#include "eaveshed/hydraulics/elevation_window.hpp"

#include <gtest/gtest.h>

namespace eaveshed {
namespace {

constexpr WindowRules kRules{
    .tap_height_m = 0.6, .outlet_height_m = 0.1, .minimum_kpa = 10.0, .filter_loss_kpa = 5.0, .fill_loss_m = 0.3};

TEST(ElevationWindow, IsNeverHigherForATallerTank) {
    double before = 1e9;
    for (double height = 0.5; height < 6.0; height += 0.1) {
        const ElevationWindow window = elevation_window(105.0, 100.0, height, 0.0, kRules);
        EXPECT_LT(window.high_elev_m, before);
        EXPECT_NEAR(window.low_elev_m, 100.0 + 0.6 + 15.0 / 9.80665 - 0.1, 1e-12);
        before = window.high_elev_m;
    }
}

TEST(ElevationWindow, AReserveLowersItsLowEndByTheDepthHeldBack) {
    const ElevationWindow without = elevation_window(105.0, 100.0, 2.0, 0.0, kRules);
    const ElevationWindow with = elevation_window(105.0, 100.0, 2.0, 0.5, kRules);
    EXPECT_NEAR(without.low_elev_m - with.low_elev_m, 0.5, 1e-12);
    EXPECT_EQ(with.high_elev_m, without.high_elev_m);
}

TEST(ElevationWindow, IsUpsideDownWhereNoPlaceDoesWithoutAPump) {
    const ElevationWindow window = elevation_window(102.8, 101.5, 2.0, 0.0, kRules);
    EXPECT_NEAR(window.high_elev_m, 100.5, 1e-12);
    EXPECT_GT(window.low_elev_m, window.high_elev_m);
}

// Exact: 9.80665 kPa a metre of water.
TEST(MinimumHead, IsTheWaterThatGivesPressureAndFilterLoss) {
    EXPECT_NEAR(minimum_head_m(kRules), 15.0 / 9.80665, 1e-15);
}

// A reserve of a third of the usable volume stands a third of the usable depth high.
TEST(ReserveDepth, IsTheReservesShareOfTheUsableDepth) {
    EXPECT_NEAR(reserve_depth_m(6.0, 18.0, 3.1, 0.1), 1.0, 1e-12);
    EXPECT_EQ(reserve_depth_m(0.0, 18.0, 3.1, 0.1), 0.0);
}

}  // namespace
}  // namespace eaveshed
