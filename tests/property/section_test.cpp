#include "eaveshed/property/section.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "property/samples.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

constexpr LocalFrame kMetres{{0.0, 0.0}, 1.0, 1.0};

TEST(GroundAlongWay, HasItsEndsAndCornersAndEqualStepsBetween) {
    const SparseRaster terrain = testing::cells(kGround, ground_m);
    const std::vector<Point> way{{50.0, 50.0}, {57.0, 50.0}, {57.0, 80.0}};
    const auto ground = ground_along_way(terrain, kMetres, way, 1.0);
    ASSERT_EQ(ground.size(), 38U);  // 7 and 30 steps
    EXPECT_EQ(ground.front().distance_m, 0.0);
    EXPECT_DOUBLE_EQ(ground[7].distance_m, 7.0);
    EXPECT_NEAR(*ground[7].elev_m, ground_m({57.0, 50.0}), 1e-9);
    EXPECT_DOUBLE_EQ(ground.back().distance_m, 37.0);
    EXPECT_NEAR(*ground.back().elev_m, ground_m({57.0, 80.0}), 1e-9);
    for (std::size_t i = 1; i < ground.size(); ++i) {
        EXPECT_NEAR(ground[i].distance_m - ground[i - 1].distance_m, 1.0, 1e-9);
    }
}

TEST(GroundAlongWay, LeavesGapsOpen) {
    const SparseRaster terrain = testing::cells(kGround, [](Point p) { return p.x > 100.0 ? kMissing : ground_m(p); });
    const auto ground = ground_along_way(terrain, kMetres, {{90.0, 50.0}, {120.0, 50.0}}, 1.0);
    EXPECT_TRUE(ground.front().elev_m);
    EXPECT_FALSE(ground.back().elev_m);
}

TEST(PropertySection, StandsWhereThePadsRowStands) {
    SampleProperty sample;
    const Property property = sample.made();
    ASSERT_TRUE(property.section && property.pad);
    const PropertySection& section = *property.section;
    const PadRow& pad = property.pad->row;
    EXPECT_NEAR(section.pad_m, *pad.fill_distance_m, 1e-9);  // the pad lies outside the roof
    EXPECT_EQ(section.tank_base_elev_m, *pad.pad_elev_m);
    EXPECT_DOUBLE_EQ(section.tank_top_elev_m, *pad.pad_elev_m + property.pad->tank.height_m);
    EXPECT_EQ(section.water_full_elev_m, section.tank_top_elev_m);
    EXPECT_NEAR(section.water_reserve_elev_m, *pad.pad_elev_m + 0.1, 1e-9);  // no reserve: the outlet
    EXPECT_NEAR(section.outlet_elev_m, section.water_reserve_elev_m, 1e-9);
    EXPECT_EQ(section.use_elev_m, *pad.use_elev_m);
    EXPECT_DOUBLE_EQ(section.tap_elev_m, *pad.use_elev_m + 0.6);
    EXPECT_EQ(section.pressure_reserve_kpa, *pad.pressure_kpa);
    EXPECT_EQ(section.pressure_full_kpa, *pad.pressure_full_kpa);
    // The levels and the pressures tell the same: a metre of water is 9.80665 kPa.
    EXPECT_NEAR(section.pressure_full_kpa - section.pressure_reserve_kpa,
                9.80665 * (section.water_full_elev_m - section.water_reserve_elev_m), 1e-9);
    EXPECT_NEAR(section.pressure_reserve_kpa,
                9.80665 * (section.water_reserve_elev_m - section.tap_elev_m - *pad.friction_m) - 5.0, 1e-9);
    for (const GroundPoint& point : section.ground) {
        ASSERT_TRUE(point.elev_m);
    }
    EXPECT_NEAR(*section.ground.back().elev_m, *pad.use_elev_m, 1e-9);
    for (std::size_t i = 1; i < section.ground.size(); ++i) {
        EXPECT_LE(section.ground[i].distance_m - section.ground[i - 1].distance_m, 1.0 + 1e-9);  // half of 2 m cells
    }
    EXPECT_DOUBLE_EQ(section.ground.back().distance_m, section.use_m);
}

TEST(PropertySection, WithAReserveStandsHigherByItsDepth) {
    SampleProperty sample;
    sample.settings.storage.reserve_m3 = 2.0;
    const Property property = sample.made();
    ASSERT_TRUE(property.section);
    // 2 of the usable volume, over 2.0 - 0.1 m of depth.
    const double depth = 2.0 / *property.row.usable_m3 * 1.9;
    EXPECT_NEAR(property.section->water_reserve_elev_m, *property.pad->row.pad_elev_m + 0.1 + depth, 1e-9);
}

TEST(PropertySection, AHigherPadNeverPressesLess) {
    SampleProperty sample;
    double last = -1e9;
    // The pad is measured ever higher up the slope; the use point stays.
    sample.parcel.facts.set_use_point({60.0, 105.0});
    for (double x = 70.0; x < 89.0; x += 4.0) {
        sample.roofs[0].facts.set_pad_place({x + 1.0, 105.0});
        sample.settings.siting.max_lift_m = 50.0;
        sample.settings.siting.max_feed_lift_m = 50.0;
        const Property property = sample.made();
        ASSERT_TRUE(property.section) << x;
        // Friction apart, which grows with the distance.
        const double kpa = property.section->pressure_reserve_kpa + 9.80665 * *property.pad->row.friction_m;
        EXPECT_GT(kpa, last);
        last = kpa;
    }
}

}  // namespace
}  // namespace eaveshed
