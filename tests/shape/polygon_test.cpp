#include "eaveshed/shape/polygon.hpp"

#include <gtest/gtest.h>

#include "shape/random_shapes.hpp"

namespace eaveshed {
namespace {

TEST(Polygon, BoundsHoldEveryPart) {
    const MultiPolygon outline{{testing::rectangle(0.0, 1.0, 2.0, 3.0).parts[0],  //
                                testing::rectangle(-5.0, 2.0, -4.0, 9.0).parts[0]}};
    const Box box = bounds(outline);
    EXPECT_EQ(box.x_min, -5.0);
    EXPECT_EQ(box.y_min, 1.0);
    EXPECT_EQ(box.x_max, 2.0);
    EXPECT_EQ(box.y_max, 9.0);
}

TEST(Polygon, BoundsOfNothingAreEmpty) {
    EXPECT_TRUE(bounds(MultiPolygon{}).empty());
    EXPECT_TRUE(bounds(Line{}).empty());
    EXPECT_FALSE(bounds(Line{{3.0, 4.0}}).empty());
}

TEST(Polygon, MappingReachesOuterRingsAndHoles) {
    MultiPolygon outline = testing::rectangle(0.0, 0.0, 4.0, 4.0);
    outline.parts[0].holes = {testing::rectangle(1.0, 1.0, 2.0, 2.0).parts[0].outer};
    const MultiPolygon moved = mapped(outline, [](Point point) { return Point{point.x + 10.0, point.y}; });
    EXPECT_EQ(moved.parts[0].outer[1], (Point{14.0, 0.0}));
    EXPECT_EQ(moved.parts[0].holes[0][0], (Point{11.0, 1.0}));
    EXPECT_EQ(moved.parts[0].holes[0].back(), (Point{11.0, 1.0}));
}

}  // namespace
}  // namespace eaveshed
