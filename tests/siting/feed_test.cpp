// method.md 6.9 to 6.14, 6.24: the way in and the way out.
#include "eaveshed/siting/feed.hpp"

#include <gtest/gtest.h>

#include <vector>

#include "siting/random_site.hpp"

namespace eaveshed {
namespace {

using testing::RandomNumbers;
using testing::shipped_rules;

// R5.3 (derived): pad 4.0 m above the garden, water 2.4 m deep, outlet 0.10 m: 62.76 kPa full, 40.21 kPa empty; no tap,
// filter or friction in it.
TEST(Feed, GivesThePressureOfTheWaterAboveTheGarden) {
    PadRules rules = shipped_rules();
    rules.tap_height_m = 0.0;
    rules.filter_loss_kpa = 0.0;
    rules.friction_m_per_m = 0.0;
    const Feed feed = feed_from(104.0, {30.0, 100.0}, {.diameter_m = 3.0, .height_m = 2.4}, rules);
    EXPECT_NEAR(feed.pressure_full_kpa, 62.76, 0.005);
    EXPECT_NEAR(feed.pressure_kpa, 40.21, 0.005);
}

// R5.4 (read: Illinois Administrative Code title 77 part 906 App. A exhibit I), C 150, Schedule 40: 10 gpm in 1.049 in
// loses 5.50 ft per 100 ft, within 2 %. The pipe is 1.1 times the straight way, which counts the height too.
TEST(Feed, LosesFrictionAlongASlackPipe) {
    PadRules rules = shipped_rules();
    rules.friction_m_per_m =
        friction_slope({.bore_m = 1.049 * 0.0254, .hazen_williams_c = 150.0}, litres_per_second(10.0 * 0.0630901964));
    const Feed feed = feed_from(103.0, {4.0, 100.0}, {.diameter_m = 3.0, .height_m = 2.4}, rules);
    EXPECT_NEAR(feed.pipe_m, 1.1 * 5.0, 1e-12);
    EXPECT_NEAR(feed.friction_m, 0.0550 * feed.pipe_m, 0.02 * 0.0550 * feed.pipe_m);
    EXPECT_NEAR(feed.pressure_kpa, 9.80665 * (feed.static_head_m - feed.friction_m) - 5.0, 1e-12);
}

TEST(Feed, CountsAReserveAsWaterThatStaysAndPressesAllTheSame) {
    const PadRules rules = shipped_rules();
    const UseFromPad use{20.0, 100.0};
    const Feed without = feed_from(102.0, use, {.diameter_m = 3.0, .height_m = 2.4}, rules);
    const Feed with = feed_from(102.0, use, {.diameter_m = 3.0, .height_m = 2.4, .reserve_depth_m = 0.5}, rules);
    EXPECT_NEAR(with.pressure_kpa - without.pressure_kpa, 0.5 * 9.80665, 1e-12);
    EXPECT_NEAR(with.pressure_full_kpa, without.pressure_full_kpa, 1e-12);
}

TEST(FillMargin, FallsWithDistanceAndWithTheHeightOfTheTank) {
    const PadRules rules = shipped_rules();
    EXPECT_NEAR(fill_margin_m(106.0, 102.0, {.diameter_m = 3.0, .height_m = 2.4}, 20.0, rules), 4.0 - 2.4 - 0.3 - 0.2,
                1e-12);
    EXPECT_LT(fill_margin_m(106.0, 102.0, {.diameter_m = 3.0, .height_m = 3.4}, 20.0, rules), 0.2);
}

TEST(GravityVolumeShare, IsThePartOfTheDepthThatPressesEnough) {
    const auto share = [](double reserve_kpa, double full_kpa) {
        Feed feed;
        feed.pressure_kpa = reserve_kpa;
        feed.pressure_full_kpa = full_kpa;
        return gravity_volume_share(feed, 10.0);
    };
    EXPECT_EQ(share(10.0, 30.0), 1.0);
    EXPECT_EQ(share(0.0, 20.0), 0.5);
    EXPECT_EQ(share(-20.0, 10.0), 0.0);
    EXPECT_EQ(share(-20.0, 0.0), 0.0);
    EXPECT_EQ(share(5.0, 5.0), 0.0);  // no depth to draw from
}

TEST(Reach, CountsTheGardenThatLiesLowEnough) {
    const PadRules rules = shipped_rules();
    const Tanks tanks{.diameter_m = 3.0, .height_m = 2.4};
    // 100 + 0.1 - 0.6 - (10 + 5) / 9.80665 = 97.9704 m
    const std::vector<double> garden{97.0, 97.97, 97.98, 99.0};
    EXPECT_EQ(reach_m2(garden, 9.0, 100.0, 10.0, tanks, rules), 18.0);
    EXPECT_EQ(reach_m2(garden, 9.0, 90.0, 10.0, tanks, rules), 0.0);
    EXPECT_EQ(reach_m2({}, 9.0, 100.0, 10.0, tanks, rules), 0.0);
}

TEST(Reach, NeverGrowsWithThePressureAsked) {
    RandomNumbers random(3);
    const PadRules rules = shipped_rules();
    for (int i = 0; i < 100; ++i) {
        std::vector<double> garden;
        for (int cell = 0; cell < 30; ++cell) {
            garden.push_back(random.between(90.0, 100.0));
        }
        const Tanks tanks{.diameter_m = 3.0, .height_m = 2.4};
        const double low = reach_m2(garden, 9.0, 100.0, 10.0, tanks, rules);
        const double high = reach_m2(garden, 9.0, 100.0, 35.0, tanks, rules);
        EXPECT_LE(high, low);
        EXPECT_LE(low, 9.0 * 30.0);
    }
}

}  // namespace
}  // namespace eaveshed
