#include "eaveshed/crs/grid_door.hpp"

#include <gtest/gtest.h>

#include "eaveshed/outside/gdal_crs.hpp"
#include "support/plane_crs.hpp"

namespace eaveshed {
namespace {

const Grid kRoundTheEarth{.x_min = 0.0, .y_max = 90.0, .cell_width = 1.0, .cell_height = 1.0, .rows = 180, .cols = 360};

TEST(GridDoor, TurnsDegreesIntoTheGrid) {
    const Crs degrees = wgs84();
    const GridDoor door(degrees, degrees, kRoundTheEarth, "test");
    EXPECT_EQ(door(Point{-120.0, 40.0}), (Point{240.0, 40.0}));
    EXPECT_EQ(door(Point{120.0, 40.0}), (Point{120.0, 40.0}));
    EXPECT_TRUE(door.holds({-120.0, 40.0}));
    EXPECT_FALSE(door.holds({-120.0, 95.0}));
}

TEST(GridDoor, LeavesMetresAsTheyAre) {
    const Crs home = testing::plane("home", {0.0, 0.0});
    const GridDoor door(home, home, kRoundTheEarth, "test");
    EXPECT_EQ(door(Point{-120.0, 40.0}), (Point{-120.0, 40.0}));
    EXPECT_FALSE(door.holds({-120.0, 40.0}));
    EXPECT_TRUE(door.holds({120.0, 40.0}));
}

}  // namespace
}  // namespace eaveshed
