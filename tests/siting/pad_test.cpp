#include "eaveshed/siting/pad.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "siting/random_site.hpp"

namespace eaveshed {
namespace {

using testing::rectangle;
using testing::Site;
using testing::World;

World level_place() {
    World world;
    world.grid.rows = 30;
    world.grid.cols = 30;
    world.elev_m.assign(900, 100.0);
    world.roof = rectangle(5010.0, 8985.0, 5014.0, 8989.0);
    world.eave_elev_m = 104.0;
    world.use = {5020.5, 8980.5};
    world.use_elev_m = 98.0;
    world.rules = testing::shipped_rules();
    world.tanks = {.diameter_m = 2.0, .height_m = 2.0, .count = 1};
    return world;
}

// By hand: ground of radius 2 / 2 + 0.3 = 1.3 m on a slope of 10 %.
TEST(Pad, StandsLevelWithTheLowestEdgeOfItsCut) {
    const World world = level_place();
    const Site site(world);
    const Pad pad = pad_at({{12, 20}, 100.0, 0.1}, site.pad_site(), world.rules, world.tanks);
    EXPECT_NEAR(pad.pad_radius_m, 1.3, 1e-12);
    EXPECT_NEAR(pad.cut_m, 0.26, 1e-12);
    EXPECT_NEAR(pad.pad_elev_m, 99.87, 1e-12);
    EXPECT_EQ(pad.ground_elev_m, 100.0);
    EXPECT_NEAR(pad.fill_distance_m, 6.5, 1e-9);  // from x = 5020.5 to the roof's edge at 5014
    EXPECT_NEAR(pad.fill_margin_m, 104.0 - (99.87 + 2.0) - 0.3 - 0.01 * 6.5, 1e-9);
    EXPECT_NEAR(pad.use_distance_m, 7.0, 1e-9);  // from y = 8987.5 to 8980.5
    EXPECT_NEAR(pad.feed.static_head_m, 99.87 + 0.1 - (98.0 + 0.6), 1e-9);
    EXPECT_FALSE(pad.waived);
}

TEST(Pad, HasNoHeightsWhereTheSlopeIsNotKnown) {
    const World world = level_place();
    const Site site(world);
    const Pad pad =
        pad_at({{12, 20}, 100.0, std::numeric_limits<double>::quiet_NaN()}, site.pad_site(), world.rules, world.tanks);
    EXPECT_TRUE(std::isnan(pad.pad_elev_m));
    EXPECT_TRUE(std::isnan(pad.fill_margin_m));
    EXPECT_TRUE(std::isnan(pad.feed.static_head_m));
    EXPECT_NEAR(pad.fill_distance_m, 6.5, 1e-9);
}

}  // namespace
}  // namespace eaveshed
