#include "eaveshed/notes/pumps.hpp"

#include <gtest/gtest.h>

namespace eaveshed {
namespace {

TEST(PumpEnergy, IsWorkedByHand) {
    // 20 m3 by 10 m: 20 x 9.80665 x 10 = 1961.33 kJ = 0.54481 kWh of work; at 0.4 it takes 1.36203 kWh
    EXPECT_NEAR(pump_kwh(20.0, 10.0, 0.4), 1.36203, 5e-6);
    EXPECT_DOUBLE_EQ(pump_kwh(40.0, 10.0, 0.4), 2.0 * pump_kwh(20.0, 10.0, 0.4));
    EXPECT_DOUBLE_EQ(pump_kwh(20.0, 30.0, 0.4), 3.0 * pump_kwh(20.0, 10.0, 0.4));
    EXPECT_LT(pump_kwh(20.0, 10.0, 0.5), pump_kwh(20.0, 10.0, 0.4));
    EXPECT_EQ(pump_kwh(0.0, 10.0, 0.4), 0.0);
}

TEST(FeedPumpHead, IsWorkedByHand) {
    // 70 kPa at the tap and 5 in the filter are 75 / 9.80665 = 7.64787 m; the store lies 2 m below the tap, and the
    // pipe takes 0.3 m: 7.64787 + 2 + 0.3 = 9.94787 m
    EXPECT_NEAR(
        feed_pump_head_m({.required_kpa = 70.0, .filter_loss_kpa = 5.0, .static_head_m = -2.0, .friction_m = 0.3}),
        9.94787, 5e-6);
}

TEST(FeedPumpHead, IsWhatThePressureByGravityLacks) {
    for (double head = -12.0; head < 12.0; head += 0.7) {
        const FeedDuty duty{.required_kpa = 60.0, .filter_loss_kpa = 4.0, .static_head_m = head, .friction_m = 0.8};
        const double by_gravity_kpa = 9.80665 * (head - 0.8) - 4.0;
        EXPECT_NEAR(feed_pump_head_m(duty), (60.0 - by_gravity_kpa) / 9.80665, 1e-12);
    }
}

}  // namespace
}  // namespace eaveshed
