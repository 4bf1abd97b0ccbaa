#include "eaveshed/publish/pad_ground.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "eaveshed/shape/measure.hpp"

namespace eaveshed {
namespace {

constexpr double kMarginM = 0.3;

PadRow pad_of(Arrangement arrangement, int tanks, double radius_m) {
    PadRow pad;
    pad.place = {1000.0, 2000.0};
    pad.arrangement = arrangement;
    pad.tank_count = tanks;
    pad.pad_radius_m = radius_m;
    return pad;
}

// Of tanks of 2 m that stand with the margin between them, their circles 1.3 m wide from the middle.
PadRow row_of(int tanks, double bearing_deg, double margin_m = kMarginM) {
    PadRow pad = pad_of(Arrangement::row, tanks, 1.0 + margin_m);
    pad.row_length_m = (tanks - 1) * (2.0 + margin_m) + 2.0;
    pad.row_bearing_deg = bearing_deg;
    return pad;
}

// Area of a regular polygon of 16 corners on a circle, by its triangles: 16/2 r^2 sin(2 pi / 16).
double area_of_circle(double radius_m) {
    return 8.0 * radius_m * radius_m * std::sin(std::numbers::pi / 8.0);
}

const LocalFrame kPlane{{0.0, 0.0}, 1.0, 1.0};

TEST(PadGround, OfOneTankOrAClusterIsACircle) {
    const MultiPolygon ground = pad_ground(pad_of(Arrangement::cluster, 5, 4.0), kPlane, kMarginM);
    ASSERT_EQ(ground.parts.size(), 1U);
    for (const Point& corner : ground.parts[0].outer) {
        EXPECT_NEAR(std::hypot(corner.x - 1000.0, corner.y - 2000.0), 4.0, 1e-9);
    }
    EXPECT_EQ(ground.parts[0].outer.front().x, ground.parts[0].outer.back().x);
    EXPECT_NEAR(planar_area(ground), area_of_circle(4.0), 1e-9);
}

TEST(PadGround, OfARowIsTheUnionOfItsCircles) {
    for (const double bearing : {0.0, 37.0, 90.0, 179.0}) {
        const MultiPolygon ground = pad_ground(row_of(4, bearing), kPlane, kMarginM);
        ASSERT_EQ(ground.parts.size(), 1U) << bearing;
        const double along_x = std::sin(bearing / 180.0 * std::numbers::pi);
        const double along_y = std::cos(bearing / 180.0 * std::numbers::pi);
        for (int tank = 0; tank < 4; ++tank) {
            const double along = 2.3 * (tank - 1.5);
            EXPECT_TRUE(contains(ground, {1000.0 + along * along_x, 2000.0 + along * along_y})) << bearing;
        }
        for (const Point& corner : ground.parts[0].outer) {
            double nearest = 1e9;
            for (int tank = 0; tank < 4; ++tank) {
                const double along = 2.3 * (tank - 1.5);
                nearest = std::min(
                    nearest, std::hypot(corner.x - 1000.0 - along * along_x, corner.y - 2000.0 - along * along_y));
            }
            EXPECT_NEAR(nearest, 1.3, 1e-9);
        }
        // Four circles less three lenses: 2 r^2 acos(d / 2r) - d/2 sqrt(4 r^2 - d^2) (Weisstein, Circle-Circle
        // Intersection, from memory); corners cut off less than 3 %.
        const double lens = 2.0 * 1.69 * std::acos(2.3 / 2.6) - 1.15 * std::sqrt(6.76 - 5.29);
        const double area = 4.0 * std::numbers::pi * 1.69 - 3.0 * lens;
        EXPECT_LT(planar_area(ground), area);
        EXPECT_GT(planar_area(ground), 0.97 * area);
    }
}

// The corner where two circles cross stands once: twice, a hair apart, the outline could cross itself.
TEST(PadGround, NoCornerStandsTwice) {
    const Ring ring = pad_ground(row_of(10, 12.0), kPlane, kMarginM).parts.at(0).outer;
    for (std::size_t i = 1; i < ring.size(); ++i) {
        EXPECT_GT(std::hypot(ring[i].x - ring[i - 1].x, ring[i].y - ring[i - 1].y), 1e-3) << i;
    }
}

TEST(PadGround, CirclesThatOnlyTouchStayApart) {
    const MultiPolygon ground = pad_ground(row_of(3, 90.0, 0.0), kPlane, 0.0);
    EXPECT_EQ(ground.parts.size(), 3U);
    EXPECT_NEAR(planar_area(ground), 3.0 * area_of_circle(1.0), 1e-9);
}

// In degrees: 80 km a degree east, 111 km north.
TEST(PadGround, IsToScaleWhateverTheUnitOfTheTerrain) {
    PadRow pad = row_of(3, 90.0);
    pad.place = {-122.0, 44.0};
    const LocalFrame degrees{{-122.0, 44.0}, 80000.0, 111000.0};
    const Box box = bounds(pad_ground(pad, degrees, kMarginM));
    EXPECT_NEAR((box.x_max - box.x_min) * 80000.0, 2 * 2.3 + 2.6, 1e-4);
    EXPECT_NEAR((box.y_max - box.y_min) * 111000.0, 2.6, 1e-4);
}

}  // namespace
}  // namespace eaveshed
