#include "eaveshed/geometry/footprint_geometry.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogrsf_frmts.h>

#include "eaveshed/outside/gdal_crs.hpp"
#include "eaveshed/shape/ellipsoid.hpp"
#include "eaveshed/shape/measure.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

using testing::RandomNumbers;
using ::testing::SizeIs;

using Bytes = std::vector<unsigned char>;

Bytes wkb_from(const OGRGeometry& geometry) {
    Bytes bytes(geometry.WkbSize());
    EXPECT_EQ(geometry.exportToWkb(wkbNDR, bytes.data(), wkbVariantIso), OGRERR_NONE);
    return bytes;
}

Bytes wkb_from(const std::string& wkt) {
    OGRGeometry* raw = nullptr;
    EXPECT_EQ(OGRGeometryFactory::createFromWkt(wkt.c_str(), nullptr, &raw), OGRERR_NONE) << wkt;
    const std::unique_ptr<OGRGeometry> geometry(raw);
    return wkb_from(*geometry);
}

MultiPolygon outline_of(GeometryKit& kit, const std::string& wkt) {
    const auto found = kit.polygons(wkb_from(wkt));
    EXPECT_TRUE(found) << wkt;
    return found ? found->outline : MultiPolygon{};
}

MultiPolygon rectangle(double x, double y, double width, double height) {
    return {{{{{x, y}, {x + width, y}, {x + width, y + height}, {x, y + height}, {x, y}}, {}}}};
}

// What a repair leaves: area and number of parts and holes, as GEOS 3.11 defines them by its linework rule (derived by
// hand): a ring of a part takes the place inside it away from the part or gives it, parts that overlap are joined.
struct RepairCase {
    const char* name;
    const char* wkt;
    bool repaired;
    double area;
    std::size_t parts;
    std::size_t holes;
};

class Repair : public ::testing::TestWithParam<RepairCase> {};

TEST_P(Repair, LeavesTheAreaThatItsRuleDefines) {
    GeometryKit kit;
    const auto found = kit.polygons(wkb_from(std::string(GetParam().wkt)));
    ASSERT_TRUE(found);
    EXPECT_EQ(found->repaired, GetParam().repaired);
    EXPECT_NEAR(planar_area(found->outline), GetParam().area, 1e-9);
    EXPECT_THAT(found->outline.parts, SizeIs(GetParam().parts));
    std::size_t holes = 0;
    for (const Polygon& part : found->outline.parts) {
        holes += part.holes.size();
        EXPECT_EQ(part.outer.front(), part.outer.back());
    }
    EXPECT_EQ(holes, GetParam().holes);
}

INSTANTIATE_TEST_SUITE_P(
    Shapes, Repair,
    ::testing::Values(
        RepairCase{"square", "POLYGON((0 0,4 0,4 4,0 4,0 0))", false, 16, 1, 0},
        RepairCase{"hole", "POLYGON((0 0,4 0,4 4,0 4,0 0),(1 1,2 1,2 2,1 2,1 1))", false, 15, 1, 1},
        RepairCase{"both_turns", "MULTIPOLYGON(((0 0,0 1,1 1,0 0)),((2 0,3 0,3 1,2 0)))", false, 1, 2, 0},
        RepairCase{"doubled_vertices", "POLYGON((0 0,0 0,4 0,4 4,4 4,0 4,0 0))", false, 16, 1, 0},
        RepairCase{"bow_tie", "POLYGON((0 0,4 4,4 0,0 4,0 0))", true, 8, 2, 0},
        RepairCase{"ring_that_touches_itself", "POLYGON((0 0,4 0,4 4,2 0,0 4,0 0))", true, 8, 2, 0},
        RepairCase{"hole_outside", "POLYGON((0 0,4 0,4 4,0 4,0 0),(6 0,8 0,8 2,6 2,6 0))", true, 20, 2, 0},
        RepairCase{"hole_across", "POLYGON((0 0,4 0,4 4,0 4,0 0),(3 1,6 1,6 2,3 2,3 1))", true, 17, 2, 0},
        RepairCase{"nested_shells", "MULTIPOLYGON(((0 0,9 0,9 9,0 9,0 0)),((1 1,3 1,3 3,1 3,1 1)))", true, 77, 1, 1},
        RepairCase{"overlapping_parts", "MULTIPOLYGON(((0 0,4 0,4 4,0 4,0 0)),((2 0,6 0,6 4,2 4,2 0)))", true, 24, 1,
                   0},
        RepairCase{"spike", "POLYGON((0 0,4 0,4 4,4 9,4 4,0 4,0 0))", true, 16, 1, 0},
        RepairCase{"open_ring", "POLYGON((0 0,4 0,4 4,0 4))", true, 16, 1, 0},
        RepairCase{"open_bow_tie", "POLYGON((0 0,4 4,4 0,0 4))", true, 8, 2, 0},
        RepairCase{"short_hole", "POLYGON((0 0,4 0,4 4,0 4,0 0),(1 1,2 1,1 1))", true, 16, 1, 0},
        RepairCase{"in_space", "POLYGON Z ((0 0 5,4 0 6,4 4 7,0 4 8,0 0 5))", false, 16, 1, 0},
        RepairCase{"polygon_and_line", "GEOMETRYCOLLECTION(LINESTRING(0 0,9 9),POLYGON((0 0,4 0,4 4,0 4,0 0)))", false,
                   16, 1, 0},
        RepairCase{"bow_tie_and_point", "GEOMETRYCOLLECTION(POINT(1 1),POLYGON((0 0,4 4,4 0,0 4,0 0)))", true, 8, 2, 0},
        RepairCase{"empty_part", "MULTIPOLYGON(EMPTY,((0 0,4 0,4 4,0 4,0 0)))", false, 16, 1, 0}),
    [](const auto& one) { return std::string(one.param.name); });

class NoRepair : public ::testing::TestWithParam<std::pair<const char*, const char*>> {};

TEST_P(NoRepair, LeavesNothing) {
    GeometryKit kit;
    EXPECT_FALSE(kit.polygons(wkb_from(std::string(GetParam().second))));
}

INSTANTIATE_TEST_SUITE_P(Shapes, NoRepair,
                         ::testing::Values(std::pair{"point", "POINT(1 1)"},
                                           std::pair{"line", "LINESTRING(0 0,4 0,4 4,0 0)"},
                                           std::pair{"empty", "POLYGON EMPTY"},
                                           std::pair{"empty_parts", "MULTIPOLYGON(EMPTY,EMPTY)"},
                                           std::pair{"zero_area", "POLYGON((0 0,4 0,8 0,0 0))"},
                                           std::pair{"one_place", "POLYGON((1 1,1 1,1 1,1 1))"},
                                           std::pair{"there_and_back", "POLYGON((0 0,4 0,0 0))"},
                                           std::pair{"collection_of_lines", "GEOMETRYCOLLECTION(LINESTRING(0 0,1 1))"}),
                         [](const auto& one) { return std::string(one.param.first); });

TEST(FootprintGeometry, NoBytesAndBytesThatAreNoGeometryLeaveNothing) {
    GeometryKit kit;
    EXPECT_FALSE(kit.polygons({}));
    EXPECT_FALSE(kit.polygons({1, 3, 0, 0, 0, 255, 255, 255, 255}));
    EXPECT_FALSE(kit.polygons(Bytes(100, 0xFF)));
}

TEST(FootprintGeometry, ACoordinateThatIsNotFiniteLeavesNothing) {
    GeometryKit kit;
    for (const double bad : {std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::infinity(),
                             -std::numeric_limits<double>::infinity()}) {
        for (int at = 0; at < 5; ++at) {
            OGRLinearRing ring;
            const std::array<Point, 5> corners{{{0, 0}, {4, 0}, {4, 4}, {0, 4}, {0, 0}}};
            for (int i = 0; i < 5; ++i) {
                const Point corner = corners.at(static_cast<std::size_t>(i));
                ring.addPoint(corner.x, i == at ? bad : corner.y);
            }
            OGRPolygon polygon;
            polygon.addRing(&ring);
            EXPECT_FALSE(kit.polygons(wkb_from(polygon))) << bad << " at " << at;
        }
    }
}

// Found by the fuzzer: the repair of such a shape never ends in GEOS 3.11 (testdata/fuzz/wkb/endless_repair).
TEST(FootprintGeometry, ACoordinateBeyondAnyPlaceLeavesNothing) {
    GeometryKit kit;
    EXPECT_TRUE(kit.polygons(wkb_from("POLYGON((0 0,1e12 0,1e12 1e12,0 1e12,0 0))")));
    EXPECT_FALSE(kit.polygons(wkb_from("POLYGON((0 0,1.1e12 0,1e12 1e12,0 1e12,0 0))")));
    EXPECT_FALSE(kit.polygons(wkb_from("POLYGON((0 0,1e178 -1e178,-1e178 1e178,1e248 1e64,0 0))")));
}

TEST(FootprintGeometry, AnAreaTooGreatForNumbersLeavesNothing) {
    GeometryKit kit;
    EXPECT_FALSE(kit.polygons(wkb_from("POLYGON((0 0,1e300 0,1e300 1e300,0 1e300,0 0))")));
}

TEST(FootprintGeometry, AValidOutlineKeepsEveryVertexAndTheOrderOfTheInput) {
    GeometryKit kit;
    const MultiPolygon found = outline_of(
        kit, "MULTIPOLYGON(((9 9,8 9,8 8,9 9)),((0 0,4 0,4 4,4 4,0 4,0 0),(3 3,2 3,2 2,3 3),(1 1,1 1.5,1.5 1,1 1)))");
    const MultiPolygon expected{{{{{9, 9}, {8, 9}, {8, 8}, {9, 9}}, {}},
                                 {{{0, 0}, {4, 0}, {4, 4}, {4, 4}, {0, 4}, {0, 0}},
                                  {{{3, 3}, {2, 3}, {2, 2}, {3, 3}}, {{1, 1}, {1, 1.5}, {1.5, 1}, {1, 1}}}}}};
    EXPECT_EQ(found, expected);
}

TEST(FootprintGeometry, TheInteriorPointIsInside) {
    GeometryKit kit;
    for (const char* const wkt : {"POLYGON((0 0,10 0,10 1,1 1,1 9,10 9,10 10,0 10,0 0))",
                                  "POLYGON((0 0,9 0,9 9,0 9,0 0),(1 1,8 1,8 8,1 8,1 1))",
                                  "MULTIPOLYGON(((0 0,1 0,1 1,0 0)),((50 50,60 50,60 60,50 60,50 50)))"}) {
        const MultiPolygon outline = outline_of(kit, wkt);
        EXPECT_TRUE(contains(outline, kit.interior_point(outline))) << wkt;
    }
}

TEST(FootprintGeometry, TheInteriorPointOfAnOutlineThatGeosReckonsOutOfAllNumbersIsItsFirstVertex) {
    GeometryKit kit;
    const Point first{-8.371160993642713e+298, 7.291122019556398e-304};
    const MultiPolygon outline{{{{first,
                                  {4.14452303e-316, 6.835426893334123e-304},
                                  {0.0, 1.79570413737339e-307},
                                  {1.79570413737339e-307, 1.79570413737339e-307},
                                  first},
                                 {}}}};
    const Point inside = kit.interior_point(outline);
    EXPECT_TRUE(std::isfinite(inside.x) && std::isfinite(inside.y));
}

TEST(FootprintGeometry, TheInteriorPointDependsOnNothingButTheOutline) {
    GeometryKit kit;
    GeometryKit other;
    const MultiPolygon outline = outline_of(kit, "MULTIPOLYGON(((0 0,5 0,5 4,0 0)),((50 50,60 50,60 61,50 60,50 50)))");
    static_cast<void>(other.interior_point(rectangle(1, 2, 3, 4)));
    EXPECT_EQ(kit.interior_point(outline), other.interior_point(outline));
}

TEST(FootprintGeometry, TheNormalFormForgetsStartDirectionAndOrder) {
    GeometryKit kit;
    const auto form = [&kit](const std::string& wkt) { return kit.normal_form(outline_of(kit, wkt)); };
    const std::string whole =
        form("MULTIPOLYGON(((0 0,4 0,4 4,0 4,0 0),(1 1,2 1,2 2,1 1),(3 3,3 2,2 3,3 3)),((9 9,8 9,8 8,9 9)))");
    EXPECT_EQ(form("MULTIPOLYGON(((4 4,0 4,0 0,4 0,4 4),(2 1,2 2,1 1,2 1),(3 3,3 2,2 3,3 3)),((9 9,8 9,8 8,9 9)))"),
              whole);
    EXPECT_EQ(form("MULTIPOLYGON(((0 0,0 4,4 4,4 0,0 0),(1 1,2 2,2 1,1 1),(3 3,2 3,3 2,3 3)),((9 9,8 8,8 9,9 9)))"),
              whole);
    EXPECT_EQ(form("MULTIPOLYGON(((8 8,9 9,8 9,8 8)),((0 0,4 0,4 4,0 4,0 0),(3 3,3 2,2 3,3 3),(1 1,2 1,2 2,1 1)))"),
              whole);
    EXPECT_EQ(form("POLYGON((-0.0 0,4 0,4 4,0 4,-0.0 0))"), form("POLYGON((0 0,4 0,4 4,0 4,0 0))"));
    EXPECT_EQ(form("POLYGON((0 0,4 0,4 4,0 4,0 0))"), form("MULTIPOLYGON(((0 0,4 0,4 4,0 4,0 0)))"));
}

TEST(FootprintGeometry, TheNormalFormTellsOutlinesApart) {
    GeometryKit kit;
    const auto form = [&kit](const std::string& wkt) { return kit.normal_form(outline_of(kit, wkt)); };
    const std::string square = form("POLYGON((0 0,4 0,4 4,0 4,0 0))");
    EXPECT_NE(form("POLYGON((0 0,4 0,4 4,0 4.000000000000001,0 0))"), square);
    EXPECT_NE(form("POLYGON((0 0,2 0,4 0,4 4,0 4,0 0))"), square);
    EXPECT_NE(form("POLYGON((0 0,4 0,4 4,0 4,0 0),(1 1,2 1,2 2,1 1))"), square);
    EXPECT_NE(form("MULTIPOLYGON(((0 0,4 0,4 4,0 4,0 0)),((9 9,8 9,8 8,9 9)))"), square);
}

// R1.8: walls 12 x 6 m, overhang 0.40 m all round: plan area 87.04 m2, 72 inside the walls (worked example on a
// building-advice page, read).
TEST(FootprintGeometry, TheRoofOfThePublishedWallsHasThePublishedArea) {
    GeometryKit kit;
    const MultiPolygon walls = rectangle(500000.0, 4000000.0, 12.0, 6.0);
    EXPECT_NEAR(planar_area(walls), 72.0, 1e-9);
    const auto roof = kit.grown(walls, 0.4);
    ASSERT_TRUE(roof);
    EXPECT_NEAR(planar_area(*roof), 87.04, 1e-6);
}

// Derived: a corner of angle a reaches d / sin(a/2) out; beyond five times d it is cut off at five times d.
TEST(FootprintGeometry, CornersAreMitredUpToFiveTimesTheOverhang) {
    GeometryKit kit;
    const auto reach = [&kit](double half_angle) {
        const double length = 100.0;
        const MultiPolygon wedge{{{{{0, 0},
                                    {length * std::cos(half_angle), -length * std::sin(half_angle)},
                                    {length * std::cos(half_angle), length * std::sin(half_angle)},
                                    {0, 0}},
                                   {}}}};
        const auto roof = kit.grown(wedge, 1.0);
        return roof ? -bounds(*roof).x_min : 0.0;
    };
    EXPECT_NEAR(reach(0.5), 1.0 / std::sin(0.5), 1e-9);
    EXPECT_NEAR(reach(0.21), 1.0 / std::sin(0.21), 1e-9);  // 4.80: still whole
    EXPECT_LE(reach(0.15), 5.0 + 1e-9);                    // would be 6.69
}

TEST(FootprintGeometry, GrowingClosesACourtyardNarrowerThanTwoOverhangsAndJoinsPartsNearer) {
    GeometryKit kit;
    const auto courtyard =
        kit.grown(outline_of(kit, "POLYGON((0 0,9 0,9 9,0 9,0 0),(4 4,4.5 4,4.5 4.5,4 4.5,4 4))"), 0.4);
    ASSERT_TRUE(courtyard);
    EXPECT_NEAR(planar_area(*courtyard), 9.8 * 9.8, 1e-9);
    MultiPolygon two = rectangle(0, 0, 4, 4);
    two.parts.push_back(rectangle(4.5, 0, 4, 4).parts.front());
    const auto joined = kit.grown(two, 0.4);
    ASSERT_TRUE(joined);
    EXPECT_THAT(joined->parts, SizeIs(1));
    EXPECT_NEAR(planar_area(*joined), 9.3 * 4.8, 1e-9);
}

TEST(FootprintGeometry, OverlapIsTheCommonAreaAndSymmetric) {
    GeometryKit kit;
    const MultiPolygon a = rectangle(0, 0, 4, 4);
    EXPECT_NEAR(kit.overlap_area(a, rectangle(2, 1, 10, 2)), 4.0, 1e-12);
    EXPECT_NEAR(kit.overlap_area(rectangle(2, 1, 10, 2), a), 4.0, 1e-12);
    EXPECT_NEAR(kit.overlap_area(a, a), 16.0, 1e-12);
    EXPECT_EQ(kit.overlap_area(a, rectangle(4, 0, 4, 4)), 0.0);  // a common edge
    EXPECT_EQ(kit.overlap_area(a, rectangle(40, 0, 4, 4)), 0.0);
    EXPECT_EQ(kit.overlap_area(a, {}), 0.0);
}

TEST(FootprintGeometry, OverlapWithAnInvalidOutlineIsThatOfItsRepair) {
    GeometryKit kit;
    const MultiPolygon bow_tie{{{{{0, 0}, {4, 4}, {4, 0}, {0, 4}, {0, 0}}, {}}}};
    EXPECT_NEAR(kit.overlap_area(bow_tie, rectangle(-1, -1, 9, 9)), 8.0, 1e-9);
}

// The same walls in three reference systems of one datum.
class Overhang : public ::testing::Test {
protected:
    static constexpr const char* kWhere = "test";
    Crs geographic = crs_from_text("EPSG:4326", kWhere);

    double area_m2(const MultiPolygon& outline, const Crs& crs) const {
        const auto degrees = Transform(crs, geographic, kWhere)(outline);
        EXPECT_TRUE(degrees);
        return degrees ? geodesic_area_m2(*degrees, geographic.ellipsoid()) : 0.0;
    }
};

TEST_F(Overhang, IsTheSameRoofInDegreesInMercatorAndInAZone) {
    GeometryKit kit;
    const Crs zone = crs_from_text("EPSG:32610", kWhere);
    const Crs mercator = crs_from_text("EPSG:3857", kWhere);
    MultiPolygon walls = rectangle(430123.25, 4250456.5, 12.0, 6.0);
    walls.parts.front().outer[1].y -= 3.0;  // not a rectangle
    walls.parts.push_back(rectangle(430150.0, 4250456.5, 10.0, 10.0).parts.front());
    const auto reference = with_overhang(kit, walls, zone, 0.4);
    ASSERT_TRUE(reference);
    for (const Crs& crs : {geographic, mercator}) {
        const auto moved = Transform(zone, crs, kWhere)(walls);
        ASSERT_TRUE(moved);
        const auto roof = with_overhang(kit, *moved, crs, 0.4);
        ASSERT_TRUE(roof);
        const auto back = Transform(crs, zone, kWhere)(*roof);
        ASSERT_TRUE(back);
        EXPECT_NEAR(planar_area(*back), planar_area(*reference), 1e-6) << crs.name();
        // The measure on the ellipsoid has a noise of about 1e-5 m2 itself (coordinates that differ by 1e-9 m).
        EXPECT_NEAR(area_m2(*roof, crs), area_m2(*reference, zone), 5e-5) << crs.name();
    }
}

// R1.8 again, now on the ellipsoid: a UTM zone's scale differs from 1 and the overhang does not follow it.
TEST_F(Overhang, IsInMetresOnTheEllipsoidAndNotOfTheProjection) {
    GeometryKit kit;
    const Crs mercator = crs_from_text("EPSG:3857", kWhere);
    const double latitude = 60.0;  // where Mercator's metres are twice the ground's
    const MetresPerDegree scale = metres_per_degree(latitude, geographic.ellipsoid());
    const MultiPolygon walls_deg = rectangle(10.0, latitude, 12.0 / scale.east, 6.0 / scale.north);
    const auto walls = Transform(geographic, mercator, kWhere)(walls_deg);
    ASSERT_TRUE(walls);
    const auto roof = with_overhang(kit, *walls, mercator, 0.4);
    ASSERT_TRUE(roof);
    EXPECT_NEAR(area_m2(*walls, mercator), 72.0, 1e-3);
    EXPECT_NEAR(area_m2(*roof, mercator), 87.04, 1e-3);
}

TEST_F(Overhang, OfZeroLeavesTheWalls) {
    GeometryKit kit;
    const Crs zone = crs_from_text("EPSG:32610", kWhere);
    const MultiPolygon walls = rectangle(430123.25, 4250456.5, 12.0, 6.0);
    const auto roof = with_overhang(kit, walls, zone, 0.0);
    ASSERT_TRUE(roof);
    EXPECT_NEAR(planar_area(*roof), 72.0, 1e-6);
    EXPECT_NEAR(kit.overlap_area(*roof, walls), 72.0, 1e-6);
}

TEST_F(Overhang, KeepsALargeOutlineInPlaceOnOtherEllipsoids) {
    GeometryKit kit;
    for (const char* const code : {"EPSG:27700", "EPSG:2154", "EPSG:31370", "EPSG:4277", "EPSG:4807"}) {
        const Crs crs = crs_from_text(code, kWhere);
        // Somewhere the system is meant for: London, Paris, Brussels.
        const bool british = std::string(code) == "EPSG:27700" || std::string(code) == "EPSG:4277";
        const bool belgian = std::string(code) == "EPSG:31370";
        const Point lon_lat = british ? Point{-0.1, 51.5} : belgian ? Point{4.35, 50.85} : Point{2.35, 48.85};
        const MultiPolygon walls_deg = rectangle(lon_lat.x, lon_lat.y, 0.0005, 0.0003);
        const auto walls = Transform(geographic, crs, kWhere)(walls_deg);
        ASSERT_TRUE(walls) << code;
        const auto roof = with_overhang(kit, *walls, crs, 0.4);
        ASSERT_TRUE(roof) << code;
        const double inside = planar_area(*walls);
        EXPECT_NEAR(kit.overlap_area(*walls, *roof), inside, 1e-6 * inside) << code;
        const double perimeter = 2.0 * (0.0005 * metres_per_degree(lon_lat.y, geographic.ellipsoid()).east +
                                        0.0003 * metres_per_degree(lon_lat.y, geographic.ellipsoid()).north);
        // Derived: area + perimeter x d + 4 d2 for four right corners; the rest is the shape's own curvature.
        EXPECT_NEAR(area_m2(*roof, crs) - area_m2(*walls, crs), perimeter * 0.4 + 4 * 0.16, 0.01) << code;
    }
}

TEST_F(Overhang, WorksAcrossTheAntimeridian) {
    GeometryKit kit;
    const MultiPolygon there = rectangle(179.9999, -17.0, 0.0002, 0.0001);
    const MultiPolygon elsewhere = rectangle(10.0, -17.0, 0.0002, 0.0001);
    const auto roof = with_overhang(kit, there, geographic, 0.4);
    const auto other = with_overhang(kit, elsewhere, geographic, 0.4);
    ASSERT_TRUE(roof);
    ASSERT_TRUE(other);
    EXPECT_NEAR(geodesic_area_m2(*roof, geographic.ellipsoid()), geodesic_area_m2(*other, geographic.ellipsoid()),
                1e-5);
    EXPECT_NEAR(kit.overlap_area(there, *roof), planar_area(there), 1e-12);
    // In a system whose false origin lies on the other side, too.
    const Crs fiji = crs_from_text("EPSG:32760", kWhere);
    const auto metres = Transform(geographic, fiji, kWhere)(rectangle(179.9999, -17.0, 0.0001, 0.0001));
    ASSERT_TRUE(metres);
    EXPECT_TRUE(with_overhang(kit, *metres, fiji, 0.4));
}

TEST_F(Overhang, TheKitFollowsAChangeOfTheReferenceSystem) {
    GeometryKit kit;
    const Crs zone = crs_from_text("EPSG:32610", kWhere);
    const Crs next_zone = crs_from_text("EPSG:32611", kWhere);
    const MultiPolygon walls = rectangle(430123.25, 4250456.5, 12.0, 6.0);
    const auto before = with_overhang(kit, walls, zone, 0.4);
    static_cast<void>(with_overhang(kit, walls, next_zone, 0.4));
    EXPECT_EQ(with_overhang(kit, walls, zone, 0.4), before);
    EXPECT_EQ(with_overhang(kit, walls, crs_from_text(zone.wkt(), kWhere), 0.4), before);
}

TEST_F(Overhang, IsNoneWithoutAPlaceOnTheEarth) {
    GeometryKit kit;
    const Crs local = crs_from_text(R"(LOCAL_CS["site",UNIT["metre",1],AXIS["x",EAST],AXIS["y",NORTH]])", kWhere);
    EXPECT_FALSE(with_overhang(kit, rectangle(0, 0, 12, 6), local, 0.4));
    EXPECT_FALSE(with_overhang(kit, rectangle(0, 0, 12, 6), Crs(), 0.4));
    EXPECT_FALSE(with_overhang(kit, {}, geographic, 0.4));
    EXPECT_FALSE(with_overhang(kit, rectangle(1e30, 1e30, 1e25, 1e25), crs_from_text("EPSG:32610", kWhere), 0.4));
}

// Whatever bytes arrive, the answer is an outline with area or none; what is an outline can be worked with.
TEST(FootprintGeometry, MutatedBytesNeverGiveAnythingButAWorkableOutlineOrNone) {
    const std::vector<Bytes> seeds{
        wkb_from("POLYGON((0 0,4 0,4 4,0 4,0 0),(1 1,2 1,2 2,1 2,1 1))"),
        wkb_from("MULTIPOLYGON(((0 0,1 0,1 1,0 0)),((2 0,3 0,3 1,2 0)))"),
        wkb_from("GEOMETRYCOLLECTION(POINT(1 2),POLYGON((0 0,4 0,4 4,0 0)),LINESTRING(0 0,1 1))"),
        wkb_from("POLYGON Z ((0 0 5,4 0 6,4 4 7,0 4 8,0 0 5))"),
    };
    RandomNumbers random(20240601);
    GeometryKit kit;
    int outlines = 0;
    for (int round = 0; round < 2000; ++round) {
        Bytes bytes = seeds[static_cast<std::size_t>(round) % seeds.size()];
        const int changes = random.whole(1, 6);
        for (int i = 0; i < changes; ++i) {
            const auto at = static_cast<std::size_t>(random.whole(0, static_cast<int>(bytes.size()) - 1));
            if (random.chance(0.1)) {
                bytes.resize(at + 1);
            } else {
                bytes[at] = static_cast<unsigned char>(random.whole(0, 255));
            }
        }
        const auto found = kit.polygons(bytes);
        static_cast<void>(kit.lines(bytes));
        static_cast<void>(kit.point(bytes));
        if (!found) {
            continue;
        }
        ++outlines;
        EXPECT_FALSE(found->outline.empty());
        EXPECT_FALSE(kit.normal_form(found->outline).empty());
        const Point inside = kit.interior_point(found->outline);
        EXPECT_TRUE(std::isfinite(inside.x) && std::isfinite(inside.y));
        EXPECT_GE(kit.overlap_area(found->outline, rectangle(0, 0, 4, 4)), 0.0);
        static_cast<void>(kit.grown(found->outline, 0.4));
    }
    EXPECT_GT(outlines, 100);  // the mutations are not all nonsense
}

}  // namespace
}  // namespace eaveshed
