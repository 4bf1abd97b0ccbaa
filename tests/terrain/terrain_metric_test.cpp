#include "eaveshed/terrain/terrain_metric.hpp"

#include <gtest/gtest.h>

namespace eaveshed {
namespace {

constexpr Grid kFlatCells{.x_min = 10.0, .y_max = 45.0, .cell_width = 0.5, .cell_height = 0.25, .rows = 4, .cols = 4};

TEST(TerrainMetric, CountsAProjectedSystemInItsUnitWhateverThePlace) {
    // Exact: the US survey foot, 1200/3937 m.
    const TerrainMetric feet{.geographic = false, .metres_per_unit = 1200.0 / 3937.0, .ellipsoid = {}};
    const LocalFrame frame = feet.frame_at({1000.0, 2000.0});
    EXPECT_EQ(frame.metres_per_x, 1200.0 / 3937.0);
    EXPECT_EQ(frame.metres_per_y, frame.metres_per_x);
    EXPECT_EQ(frame.to_metres(Point{1000.0, 2000.0}), (Point{0.0, 0.0}));
    EXPECT_EQ(cell_sides(kFlatCells, feet, {0.0, 0.0}).width_m, cell_sides(kFlatCells, feet, {0.0, 80.0}).width_m);
}

TEST(TerrainMetric, NeighboursHaveTheirMetresInCommon) {
    const TerrainMetric metres{.geographic = false, .metres_per_unit = 1.0, .ellipsoid = {}};
    const LocalFrame frame = metres.common_frame_at({500100.25, 4000100.5});
    EXPECT_EQ(frame, metres.common_frame_at({500180.5, 4000020.125}));
    EXPECT_EQ(frame.metres_per_x, metres.frame_at({500100.25, 4000100.5}).metres_per_x);
    EXPECT_LE(frame.to_metres(Point{500100.25, 4000100.5}).x, 1024.0);
    EXPECT_GE(frame.to_metres(Point{500100.25, 4000100.5}).y, 0.0);
    // A degree of longitude is another length at another latitude.
    const TerrainMetric degrees{.geographic = true, .metres_per_unit = 1.0, .ellipsoid = {}};
    EXPECT_EQ(degrees.common_frame_at({10.0, 45.0}), degrees.frame_at({10.0, 45.0}));
}

TEST(TerrainMetric, CountsDegreesByThePlacesLatitude) {
    const TerrainMetric degrees{.geographic = true, .metres_per_unit = 1.0, .ellipsoid = {}};
    const CellSides south = cell_sides(kFlatCells, degrees, {10.0, 0.0});
    const CellSides north = cell_sides(kFlatCells, degrees, {10.0, 60.0});
    // Lengths of a degree on the WGS 84 ellipsoid, from memory of geodesy tables: 111,319.5 m along the equator,
    // 110,574 m along the meridian there, 55,800 m along the parallel of 60.
    EXPECT_NEAR(south.width_m, 0.5 * 111319.49, 0.01);
    EXPECT_NEAR(south.height_m, 0.25 * 110574.3, 0.1);
    EXPECT_NEAR(north.width_m, 0.5 * 55800.0, 1.0);
    EXPECT_EQ(north.smaller_m(), north.width_m < north.height_m ? north.width_m : north.height_m);
}

}  // namespace
}  // namespace eaveshed
