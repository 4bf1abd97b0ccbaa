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
    const PadGround ground{{12, 20}, 100.0, Gradient{0.06, 0.08}};
    const Stand stand = Footing(site.terrain(), ground_of(world.tanks, 0.3)).together(ground);
    const Pad pad = pad_at(ground, stand, site.pad_site(), world.rules, world.tanks);
    EXPECT_EQ(pad.arrangement, Arrangement::single);
    EXPECT_NEAR(pad.pad_radius_m, 1.3, 1e-12);
    EXPECT_NEAR(pad.slope, 0.1, 1e-12);
    EXPECT_NEAR(pad.cut_m, 0.26, 1e-12);
    EXPECT_NEAR(pad.pad_elev_m, 99.87, 1e-12);
    EXPECT_EQ(pad.ground_elev_m, 100.0);
    EXPECT_EQ(pad.row_span_m, 0.0);
    EXPECT_NEAR(pad.fill_distance_m, 6.5, 1e-9);  // from x = 5020.5 to the roof's edge at 5014
    EXPECT_NEAR(pad.fill_margin_m, 104.0 - (99.87 + 2.0) - 0.3 - 0.01 * 6.5, 1e-9);
    EXPECT_NEAR(pad.use_distance_m, 7.0, 1e-9);  // from y = 8987.5 to 8980.5
    EXPECT_NEAR(pad.feed.static_head_m, 99.87 + 0.1 - (98.0 + 0.6), 1e-9);
    EXPECT_FALSE(pad.waived);
}

TEST(Pad, HasNoHeightsWhereTheSlopeIsNotKnown) {
    const World world = level_place();
    const Site site(world);
    const PadGround ground{{12, 20}, 100.0, std::nullopt};
    const Stand stand = Footing(site.terrain(), ground_of(world.tanks, 0.3)).together(ground);
    const Pad pad = pad_at(ground, stand, site.pad_site(), world.rules, world.tanks);
    EXPECT_TRUE(std::isnan(pad.pad_elev_m));
    EXPECT_TRUE(std::isnan(pad.fill_margin_m));
    EXPECT_TRUE(std::isnan(pad.feed.static_head_m));
    EXPECT_NEAR(pad.fill_distance_m, 6.5, 1e-9);
}

// Five tanks on level ground: the row costs the pipe along it, 4 x 2.3 m, and nothing else differs.
TEST(Pad, OfARowCountsThePipeAlongIt) {
    World world = level_place();
    world.tanks.count = 5;
    const Site site(world);
    const PadGround ground{{12, 20}, 100.0, Gradient{}};
    const Footing footing(site.terrain(), ground_of(world.tanks, 0.3));
    const Pad row = pad_at(ground, footing.in_a_row(ground), site.pad_site(), world.rules, world.tanks);
    const Pad cluster = pad_at(ground, footing.together(ground), site.pad_site(), world.rules, world.tanks);
    EXPECT_EQ(row.arrangement, Arrangement::row);
    EXPECT_EQ(cluster.arrangement, Arrangement::cluster);
    EXPECT_NEAR(row.row_span_m, 9.2, 1e-12);
    EXPECT_EQ(row.row_bearing_deg, 90.0);
    EXPECT_NEAR(row.pad_radius_m, 1.3, 1e-12);
    EXPECT_NEAR(cluster.pad_radius_m, 2.7013 * 1.15 + 0.15, 1e-12);
    EXPECT_EQ(row.pad_elev_m, cluster.pad_elev_m);
    EXPECT_EQ(row.fill_margin_m, cluster.fill_margin_m);
    EXPECT_NEAR(row.rank.length_m - cluster.rank.length_m, 9.2, 1.1e-6);
}

}  // namespace
}  // namespace eaveshed
