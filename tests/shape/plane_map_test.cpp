#include "eaveshed/shape/plane_map.hpp"

#include <gtest/gtest.h>

namespace eaveshed {
namespace {

TEST(PlaneMap, TakesTheThreePlacesWhereTheyBelong) {
    const MappedCorner corner{{10.0, 20.0}, 2.0, 5.0, {100.0, 200.0}, {100.0, 206.0}, {90.0, 200.0}};
    const PlaneMap map = plane_map(corner);
    EXPECT_EQ(map({10.0, 20.0}), corner.to);
    EXPECT_EQ(map({12.0, 20.0}), corner.east);
    EXPECT_EQ(map({10.0, 25.0}), corner.north);
    EXPECT_EQ(map({11.0, 22.5}), (Point{95.0, 203.0}));
}

TEST(PlaneMap, AndItsInverseLeaveAPointWhereItWas) {
    const PlaneMap map{{10.0, 20.0}, {-3.0, 7.0}, 0.5, -1.5, 2.0, 0.25};
    const Point point{31.0, -4.0};
    const Point back = map.inverse().value()(map(point));
    EXPECT_NEAR(back.x, point.x, 1e-12);
    EXPECT_NEAR(back.y, point.y, 1e-12);
}

TEST(PlaneMap, ThatFlattensThePlaneHasNoInverse) {
    EXPECT_FALSE((PlaneMap{{}, {}, 1.0, 2.0, 2.0, 4.0}.inverse()));
}

}  // namespace
}  // namespace eaveshed
