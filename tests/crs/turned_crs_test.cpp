#include "eaveshed/crs/turned_crs.hpp"

#include <cmath>

#include <gtest/gtest.h>

#include "eaveshed/core/error.hpp"
#include "support/plane_crs.hpp"

namespace eaveshed {
namespace {

using testing::plane;

TEST(TurnedCrs, ItsXAxisRunsWhereTheTurnPoints) {
    const Crs home = plane("home", {0.0, 0.0});
    const Crs turned = turned_crs(home, {100.0, 50.0}, 30.0);
    const Transform back(turned, home, "test");
    const Point east = back(Point{2.0, 0.0}).value();
    EXPECT_NEAR(east.x, 100.0 + std::sqrt(3.0), 1e-12);
    EXPECT_NEAR(east.y, 51.0, 1e-12);
    const Point north = back(Point{0.0, 2.0}).value();
    EXPECT_NEAR(north.x, 99.0, 1e-12);
    EXPECT_NEAR(north.y, 50.0 + std::sqrt(3.0), 1e-12);
    const Transform into(home, turned, "test");
    const Point again = into(north).value();
    EXPECT_NEAR(again.x, 0.0, 1e-12);
    EXPECT_NEAR(again.y, 2.0, 1e-12);
    EXPECT_EQ(turn_deg_of(turned), 30.0);
    EXPECT_EQ(turn_deg_of(home), 0.0);
}

TEST(TurnedCrs, WaysToOtherSystemsGoThroughItsBase) {
    const Crs home = plane("home", {0.0, 0.0});
    const Crs away = plane("away", {10.0, 20.0});
    const Crs turned = turned_crs(home, {0.0, 0.0}, 90.0);
    const Crs other = turned_crs(away, {0.0, 0.0}, -90.0);
    const Point in_away = Transform(turned, away, "test")(Point{5.0, 7.0}).value();  // (-7, 5) at home
    const Point straight = Transform(home, away, "test")(Point{-7.0, 5.0}).value();
    EXPECT_NEAR(in_away.x, straight.x, 1e-12);
    EXPECT_NEAR(in_away.y, straight.y, 1e-12);
    const Point in_other = Transform(turned, other, "test")(Point{5.0, 7.0}).value();
    EXPECT_NEAR(in_other.x, -straight.y, 1e-12);
    EXPECT_NEAR(in_other.y, straight.x, 1e-12);
}

TEST(TurnedCrs, IsTheSameOnlyAsOneTurnedAlike) {
    const Crs home = plane("home", {0.0, 0.0});
    const Crs turned = turned_crs(home, {1.0, 2.0}, 30.0);
    EXPECT_TRUE(turned.same_as(turned_crs(home, {1.0, 2.0}, 30.0)));
    EXPECT_FALSE(turned.same_as(turned_crs(home, {1.0, 2.0}, 31.0)));
    EXPECT_FALSE(turned.same_as(home));
    EXPECT_FALSE(home.same_as(turned));
    EXPECT_EQ(turned.metres_per_unit(), home.metres_per_unit());
    EXPECT_EQ(turned.name(), "home, turned by 30.00 degrees");
    EXPECT_THROW((void)turned_crs(Crs(), {}, 1.0), Error);
}

}  // namespace
}  // namespace eaveshed
