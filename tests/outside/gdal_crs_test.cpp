#include "eaveshed/outside/gdal_crs.hpp"

#include <cmath>
#include <limits>
#include <thread>

#include <gtest/gtest.h>
#include <ogr_spatialref.h>

#include "support/expect_error.hpp"

namespace eaveshed {
namespace {

using testing::expect_input_error;

Crs crs(const std::string& text) {
    return crs_from_text(text, "output.crs");
}

TEST(Crs, NoneIsNotGiven) {
    EXPECT_FALSE(Crs().given());
    EXPECT_FALSE(crs_from_handle(nullptr).given());
    EXPECT_EQ(gdal_handle(Crs()), nullptr);
    EXPECT_TRUE(Crs().same_as(Crs()));
    EXPECT_FALSE(Crs().same_as(crs("EPSG:4326")));
}

TEST(Crs, KnowsItsNameUnitAndEllipsoid) {
    const Crs utm = crs("EPSG:32610");
    EXPECT_EQ(utm.name(), "EPSG:32610 (WGS 84 / UTM zone 10N)");
    EXPECT_FALSE(utm.is_geographic());
    EXPECT_EQ(utm.metres_per_unit(), 1.0);
    // WGS 84 as EPSG 7030 defines it (from memory).
    EXPECT_EQ(utm.ellipsoid().semi_major_m, 6378137.0);
    EXPECT_NEAR(1.0 / utm.ellipsoid().flattening, 298.257223563, 1e-9);
    EXPECT_EQ(utm.geographic().name(), "EPSG:4326 (WGS 84)");
    EXPECT_TRUE(crs("EPSG:4326").is_geographic());
    EXPECT_EQ(crs("EPSG:4326").metres_per_unit(), 0.0);
}

TEST(Crs, FeetOfBothKindsAreTold) {
    // R7.10: US survey foot 1200/3937 m, international foot 0.3048 m (exact).
    EXPECT_NEAR(crs("EPSG:2227").metres_per_unit(), 1200.0 / 3937.0, 1e-15);
    EXPECT_NEAR(crs("EPSG:2222").metres_per_unit(), 0.3048, 1e-15);
}

TEST(Crs, DropsTheVerticalPart) {
    EXPECT_TRUE(crs("EPSG:32610+5703").same_as(crs("EPSG:32610")));
    EXPECT_TRUE(crs("EPSG:4979").same_as(crs("EPSG:4326")));
}

TEST(Crs, AWrittenOutCrsIsTheSameAsItsCode) {
    const Crs utm = crs("EPSG:32734");
    EXPECT_TRUE(crs(utm.wkt()).same_as(utm));
    EXPECT_TRUE(crs("  " + utm.wkt() + "\n").same_as(utm));
    EXPECT_FALSE(utm.same_as(crs("EPSG:32735")));
    char* json = nullptr;
    ASSERT_EQ(gdal_handle(utm)->exportToPROJJSON(&json, nullptr), OGRERR_NONE);
    EXPECT_TRUE(crs(json).same_as(utm));
    CPLFree(json);
}

TEST(Crs, AxisOrderOfTheAuthorityMakesNoDifference) {
    EXPECT_TRUE(crs("OGC:CRS84").same_as(crs("EPSG:4326")));
}

// F9: SetFromUserInput on an address goes to the network.
TEST(Crs, TextThatIsNoCrsIsRefusedWithoutLookingAnywhere) {
    for (const char* const text : {"http://127.0.0.1:9/crs", "https://example.org/x[y]", "/etc/hostname", "crs.prj",
                                   "+proj=longlat +datum=WGS84", "", "EPSG:999999", "EPSG:",
                                   "urn:ogc:def:crs:EPSG::4326", "PROJCS[\"broken\"", "{\"type\": 1}", "import.wkt"}) {
        expect_input_error([&] { (void)crs(text); }, {"output.crs", "EPSG:32610"});
    }
}

TEST(Crs, AVerticalCrsAloneIsRefused) {
    expect_input_error([&] { (void)crs("EPSG:5703"); }, {"output.crs", "horizontal"});
}

TEST(Transform, EqualCrssGiveTheIdentity) {
    const Transform same(crs("EPSG:4326"), crs("OGC:CRS84"), "x");
    EXPECT_TRUE(same.identity());
    EXPECT_EQ(same(Point{20.5, -34.0}), (Point{20.5, -34.0}));
    EXPECT_FALSE(same(Point{std::numeric_limits<double>::quiet_NaN(), 0.0}).has_value());
}

TEST(Transform, XIsEastAndYIsNorthInEveryCrs) {
    // The central meridian of UTM zone 10, false easting 500 km; 45 N lies about 4,982,950 m north of the equator.
    const Transform to_utm(crs("EPSG:4326"), crs("EPSG:32610"), "x");
    const auto utm = to_utm(Point{-123.0, 45.0});
    ASSERT_TRUE(utm);
    EXPECT_NEAR(utm->x, 500000.0, 1e-6);
    EXPECT_NEAR(utm->y, 4982950.4, 0.1);
    // New Zealand Transverse Mercator is defined northing first; 173 E is its meridian, false easting 1,600 km.
    const Transform to_nztm(crs("EPSG:4326"), crs("EPSG:2193"), "x");
    const auto nztm = to_nztm(Point{173.0, -41.0});
    ASSERT_TRUE(nztm);
    EXPECT_NEAR(nztm->x, 1600000.0, 1e-3);
    EXPECT_GT(nztm->y, 5.0e6);
    EXPECT_FALSE(to_utm.identity());
}

TEST(Transform, ThereAndBackIsWhereItBegan) {
    const Transform there(crs("EPSG:4326"), crs("EPSG:32734"), "x");
    const Transform back(crs("EPSG:32734"), crs("EPSG:4326"), "x");
    std::vector<Point> points{{20.44, -34.02}, {19.0, -33.5}, {23.9, -31.1}};
    const std::vector<Point> before = points;
    ASSERT_TRUE(there.apply(points));
    ASSERT_TRUE(back.apply(points));
    for (std::size_t i = 0; i < points.size(); ++i) {
        EXPECT_NEAR(points[i].x, before[i].x, 1e-9);
        EXPECT_NEAR(points[i].y, before[i].y, 1e-9);
    }
}

TEST(Transform, OutlinesKeepTheirShape) {
    const Transform there(crs("EPSG:4326"), crs("EPSG:32734"), "x");
    const MultiPolygon outline{{{{{20.0, -34.0}, {20.1, -34.0}, {20.1, -34.1}, {20.0, -34.0}}, {}},
                                {{{20.2, -34.0}, {20.3, -34.0}, {20.3, -34.1}, {20.2, -34.0}},
                                 {{{20.25, -34.01}, {20.26, -34.01}, {20.26, -34.02}, {20.25, -34.01}}}}}};
    const auto moved = there(outline);
    ASSERT_TRUE(moved);
    ASSERT_EQ(moved->parts.size(), 2U);
    EXPECT_EQ(moved->parts[1].holes.at(0).size(), 4U);
    EXPECT_EQ(moved->parts[0].outer.front(), *there(Point{20.0, -34.0}));
    EXPECT_EQ(moved->parts[1].holes.at(0).back(), *there(Point{20.25, -34.01}));
}

TEST(Transform, ABoxHoldsEverythingThatWasInIt) {
    const Transform there(crs("EPSG:4326"), crs("EPSG:32610"), "x");
    const Box box{-125.0, 38.0, -121.0, 42.0};
    const auto moved = there(box);
    ASSERT_TRUE(moved);
    for (double x = box.x_min; x <= box.x_max; x += 0.013) {
        for (double y = box.y_min; y <= box.y_max; y += 1.0) {
            const auto point = there(Point{x, y});
            ASSERT_TRUE(point);
            EXPECT_TRUE(moved->intersects({point->x, point->y, point->x, point->y}));
        }
    }
    // The southern edge bends: its middle lies lower than its corners.
    EXPECT_LT(moved->y_min, there(Point{-125.0, 38.0})->y);
    EXPECT_TRUE(there(Box{})->empty());
}

TEST(Transform, APointOutsideTheProjectionIsNone) {
    const Transform there(crs("EPSG:4326"), crs("EPSG:32610"), "x");
    EXPECT_FALSE(there(Point{-123.0, 95.0}).has_value());
    std::vector<Point> points{{-123.0, 45.0}, {-123.0, 95.0}};
    EXPECT_FALSE(there.apply(points));
}

TEST(Transform, ALocalCrsIsTiedToNoOther) {
    const Crs local = crs("LOCAL_CS[\"site grid\",UNIT[\"metre\",1]]");
    EXPECT_TRUE(local.is_local());
    expect_input_error([&] { (void)Transform(local, crs("EPSG:32610"), "footprints.source"); },
                       {"footprints.source", "site grid", "EPSG:32610"});
}

TEST(Transform, ManyThreadsMayShareTheCrss) {
    const Crs from = crs("EPSG:4326");
    const Crs to = crs("EPSG:32610");
    std::vector<std::jthread> workers;
    std::vector<double> found(4);
    for (std::size_t i = 0; i < found.size(); ++i) {
        workers.emplace_back([&, i] {
            const Transform there(from, to, "x");
            found[i] = there(Point{-123.0, 45.0}).value_or(Point{}).y;
        });
    }
    workers.clear();
    for (const double y : found) {
        EXPECT_EQ(y, found.front());
        EXPECT_GT(y, 4.9e6);
    }
}

}  // namespace
}  // namespace eaveshed
