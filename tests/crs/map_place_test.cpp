#include "eaveshed/crs/map_place.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "support/plane_crs.hpp"

namespace eaveshed {
namespace {

using testing::FlatDegrees;
using testing::PlaneCrs;

Crs shifted_plane() {
    return Crs(std::make_shared<const PlaneCrs>("plane", Point{100.0, -50.0}));
}
Crs flat_degrees() {
    return Crs(std::make_shared<const FlatDegrees>());
}

TEST(ToDegrees, IsTheTransformationRoundedToSixDecimals) {
    const ToDegrees to_degrees(shifted_plane(), flat_degrees());
    const Transform way(shifted_plane(), flat_degrees(), "test");
    for (const Point place : {Point{0.0, 0.0}, Point{1234.567, -987.654}}) {
        const Point exact = way(place).value();
        const auto found = to_degrees(place);
        ASSERT_TRUE(found);
        EXPECT_NEAR(found->longitude_deg, exact.x, 0.5e-6);
        EXPECT_NEAR(found->latitude_deg, exact.y, 0.5e-6);
        EXPECT_DOUBLE_EQ(found->longitude_deg * 1e6, std::round(exact.x * 1e6));
        EXPECT_DOUBLE_EQ(to_degrees.precise(place)->longitude_deg, exact.x);
    }
}

TEST(ToDegrees, CountsLongitudesFromHalfATurnWestToHalfATurnEast) {
    const ToDegrees same(flat_degrees(), flat_degrees());
    EXPECT_DOUBLE_EQ(same(Point{236.5, 38.0})->longitude_deg, -123.5);
    EXPECT_DOUBLE_EQ(same(Point{-123.5, 38.0})->longitude_deg, -123.5);
    EXPECT_DOUBLE_EQ(same(Point{180.0, 38.0})->longitude_deg, 180.0);
}

TEST(ToDegrees, OfNoCrsIsNone) {
    EXPECT_FALSE(ToDegrees(Crs(), flat_degrees())(Point{1.0, 2.0}));
}

}  // namespace
}  // namespace eaveshed
