// method.md 0.12, 1.5: metres per degree, areas on the ellipsoid.
#include "eaveshed/shape/ellipsoid.hpp"

#include <geodesic.h>
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <utility>
#include <vector>

#include "eaveshed/shape/measure.hpp"
#include "shape/random_shapes.hpp"

namespace eaveshed {
namespace {

constexpr double kDegree = std::numbers::pi / 180.0;

struct LatLon {
    double lat = 0.0;
    double lon = 0.0;
};

// A closed ring from vertices as GeographicLib writes them.
MultiPolygon outline(const std::vector<LatLon>& vertices) {
    Ring ring;
    for (const LatLon& vertex : vertices) {
        ring.push_back({vertex.lon, vertex.lat});
    }
    ring.push_back(ring.front());
    return testing::one(ring);
}

double area_m2(const std::vector<LatLon>& vertices) {
    return geodesic_area_m2(outline(vertices), Ellipsoid{});
}

// R7.5 (read: GeographicLib test suite by C. F. F. Karney, geographiclib-c tests/geodtest.c, Planimeter15).
TEST(GeodesicArea, OfATriangleIsKarneys) {
    EXPECT_NEAR(area_m2({{2, 1}, {1, 2}, {3, 3}}), 18454562325.45119, 1e-3);
    EXPECT_NEAR(area_m2({{3, 3}, {1, 2}, {2, 1}}), 18454562325.45119, 1e-3);
}

// R7.6 (read: the same, Planimeter29): four edges of 1000 m from (0, 0), east, north and west, then closed.
TEST(GeodesicArea, OfFourEdgesOfAKilometreIsASquareKilometre) {
    geod_geodesic geodesic{};
    geod_init(&geodesic, Ellipsoid{}.semi_major_m, Ellipsoid{}.flattening);
    std::vector<LatLon> vertices{{0.0, 0.0}};
    for (const double azimuth : {90.0, 0.0, -90.0}) {
        LatLon next;
        geod_direct(&geodesic, vertices.back().lat, vertices.back().lon, azimuth, 1000.0, &next.lat, &next.lon,
                    nullptr);
        vertices.push_back(next);
    }
    EXPECT_NEAR(area_m2(vertices), 1000000.0, 0.01);
}

// R7.7 (read: GeographicLib documentation, geographiclib-js doc/tutorials/3-examples.md): Antarctica in 18 vertices,
// round the pole and across the antimeridian.
TEST(GeodesicArea, OfAntarcticaIsTheDocumentations) {
    EXPECT_NEAR(area_m2({{-63.1, -58},
                         {-72.9, -74},
                         {-71.9, -102},
                         {-74.9, -102},
                         {-74.3, -131},
                         {-77.5, -163},
                         {-77.4, 163},
                         {-71.7, 172},
                         {-65.9, 140},
                         {-65.7, 113},
                         {-66.6, 88},
                         {-66.9, 59},
                         {-69.8, 25},
                         {-70.0, -4},
                         {-71.0, -14},
                         {-77.3, -33},
                         {-77.9, -46},
                         {-74.7, -61}}),
                13662703680020.1, 0.1);
}

// Read: geographiclib-c tests/geodtest.c, Planimeter0 (round either pole; round (0, 0); an octant), Planimeter5
// (through the pole), Planimeter21 (one circuit of the pole at 45 degrees).
TEST(GeodesicArea, RoundAndThroughThePolesIsKarneys) {
    EXPECT_NEAR(area_m2({{89, 0}, {89, 90}, {89, 180}, {89, 270}}), 24952305678.0, 1.0);
    EXPECT_NEAR(area_m2({{-89, 0}, {-89, 90}, {-89, 180}, {-89, 270}}), 24952305678.0, 1.0);
    EXPECT_NEAR(area_m2({{0, -1}, {-1, 0}, {0, 1}, {1, 0}}), 24619419146.0, 1.0);
    EXPECT_NEAR(area_m2({{90, 0}, {0, 0}, {0, 90}}), 63758202715511.0, 1.0);
    EXPECT_NEAR(area_m2({{89, 0.1}, {89, 90.1}, {89, -179.9}}), 12476152838.5, 1.0);
    EXPECT_NEAR(area_m2({{45, 60}, {45, 180}, {45, -60}}), 39433884866571.4277, 0.5);
}

// Read: the same, Planimeter6, Planimeter12 and Planimeter19: there and back along a meridian encloses nothing, nor do
// fewer than three vertices.
TEST(GeodesicArea, OfWhatEnclosesNothingIsNothing) {
    EXPECT_NEAR(area_m2({{9, -0.00000000000001}, {9, 180}, {9, 0}}), 0.0, 1.0);
    EXPECT_NEAR(area_m2({{9, 0.00000000000001}, {9, 0}, {9, 180}}), 0.0, 1.0);
    EXPECT_NEAR(area_m2({{9, 0.00000000000001}, {9, 180}, {9, 0}}), 0.0, 1.0);
    EXPECT_NEAR(area_m2({{9, -0.00000000000001}, {9, 0}, {9, 180}}), 0.0, 1.0);
    EXPECT_NEAR(area_m2({{66.562222222, 0}, {66.562222222, 180}, {66.562222222, 360}}), 0.0, 1.0);
    EXPECT_EQ(area_m2({{1, 1}, {2, 2}}), 0.0);
    EXPECT_EQ(area_m2({{1, 1}}), 0.0);
    EXPECT_EQ(geodesic_area_m2({}, Ellipsoid{}), 0.0);
}

// Area between two parallels and two meridians one degree apart: the exact zone formula (derived: Snyder 1987, eq.
// 3-12, of which the authalic latitude is made).
double zone_area_km2(double south_deg, double north_deg) {
    const Ellipsoid ellipsoid;
    const double e2 = ellipsoid.flattening * (2.0 - ellipsoid.flattening);
    const double e = std::sqrt(e2);
    const auto up_to = [&](double latitude_deg) {
        const double s = std::sin(latitude_deg * kDegree);
        return s / (1.0 - e2 * s * s) + std::atanh(e * s) / e;
    };
    const double b2 = ellipsoid.semi_major_m * ellipsoid.semi_major_m * (1.0 - e2);
    return kDegree * 0.5 * b2 * (up_to(north_deg) - up_to(south_deg)) / 1e6;
}

// R7.8 (derived: exact zone formula): cells of one degree with parallels as edges. A parallel is no geodesic; cut into
// 4000 steps the difference is below 2 m2.
TEST(GeodesicArea, OfDegreeCellsConvergesToTheExactZones) {
    constexpr int kSteps = 4000;
    const std::vector<std::pair<double, double>> expected_km2{{0, 12308.4639}, {30, 10642.3934}, {38, 9683.2322},
                                                              {40, 9412.8516}, {45, 8686.4950},  {60, 6123.1409}};
    for (const auto& [south, area_km2] : expected_km2) {
        std::vector<LatLon> vertices;
        for (int i = 0; i <= kSteps; ++i) {
            vertices.push_back({south, static_cast<double>(i) / kSteps});
        }
        for (int i = kSteps; i >= 0; --i) {
            vertices.push_back({south + 1.0, static_cast<double>(i) / kSteps});
        }
        EXPECT_NEAR(area_m2(vertices) / 1e6, area_km2, 0.5e-4 + 2e-6);
        EXPECT_NEAR(area_m2(vertices) / 1e6, zone_area_km2(south, south + 1.0), 1e-9 * area_km2);
    }
}

// R7.9 (derived): in web Mercator a roof at 40 N is 1.70610 times too large, which is why no plane is trusted with
// areas.
TEST(GeodesicArea, IsNotThePlanarAreaInWebMercator) {
    const double half = 0.0001;
    const MultiPolygon roof = testing::rectangle(-half, 40.0 - half, half, 40.0 + half);
    const double radius_m = Ellipsoid{}.semi_major_m;
    const MultiPolygon mercator = mapped(roof, [radius_m](Point point) {
        const double latitude = point.y * kDegree;
        return Point{radius_m * point.x * kDegree, radius_m * std::asinh(std::tan(latitude))};
    });
    EXPECT_NEAR(planar_area(mercator) / geodesic_area_m2(roof, Ellipsoid{}), 1.70610, 0.5e-5);
}

TEST(GeodesicArea, DoesNotDependOnDirectionStartOrLongitude) {
    testing::Random random = testing::seeded(81);
    const MetresPerDegree metres = metres_per_degree(39.0, Ellipsoid{});
    for (int i = 0; i < 200; ++i) {
        Ring ring = testing::star_ring(random, {0.0, 0.0}, 4.0, 15.0, 10);
        for (Point& point : ring) {
            point = {-123.0 + point.x / metres.east, 39.0 + point.y / metres.north};
        }
        const double area = geodesic_area_m2(testing::one(ring), Ellipsoid{});
        Ring other = ring;
        std::reverse(other.begin(), other.end());
        other.pop_back();
        std::rotate(other.begin(), other.begin() + 3, other.end());
        other.push_back(other.front());
        EXPECT_NEAR(geodesic_area_m2(testing::one(other), Ellipsoid{}), area, 1e-6 * area);
        for (Point& point : other) {
            point.x += 303.0;  // now it lies across the antimeridian, where longitudes may exceed 180
        }
        EXPECT_NEAR(geodesic_area_m2(testing::one(other), Ellipsoid{}), area, 1e-6 * area);
    }
}

// Holes are taken off, parts added, and for a roof the plane of the metres per degree tells the same area.
TEST(GeodesicArea, SubtractsHolesAddsPartsAndMatchesLocalMetres) {
    testing::Random random = testing::seeded(82);
    const MetresPerDegree metres = metres_per_degree(39.0, Ellipsoid{});
    for (int i = 0; i < 100; ++i) {
        const MultiPolygon plane = testing::star_outline(random, {0.0, 0.0}, 15.0, 10);
        const MultiPolygon degrees = mapped(plane, [&](Point point) {
            return Point{-123.0 + point.x / metres.east, 39.0 + point.y / metres.north};
        });
        EXPECT_NEAR(geodesic_area_m2(degrees, Ellipsoid{}), planar_area(plane), 1e-5 * planar_area(plane));
    }
}

TEST(GeodesicArea, UsesTheEllipsoidItIsGiven) {
    // A sphere of radius 1: the octant is pi/2.
    const MultiPolygon octant = outline({{90, 0}, {0, 0}, {0, 90}});
    EXPECT_NEAR(geodesic_area_m2(octant, Ellipsoid{1.0, 0.0}), 0.5 * std::numbers::pi, 1e-12);
}

// Lengths of a degree on WGS 84: the series of the encyclopedia article on geographic coordinate systems (latitude read
// in a copy of the article; longitude read in several public programs that cite it), good to a
// decimetre, one part in a million.
TEST(MetresPerDegree, AreThePublishedSeries) {
    for (int degrees = -85; degrees <= 85; degrees += 5) {
        const double latitude = degrees;
        const double t = latitude * kDegree;
        const MetresPerDegree metres = metres_per_degree(latitude, Ellipsoid{});
        EXPECT_NEAR(metres.north,
                    111132.92 - 559.82 * std::cos(2 * t) + 1.175 * std::cos(4 * t) - 0.0023 * std::cos(6 * t), 0.1);
        EXPECT_NEAR(metres.east, 111412.84 * std::cos(t) - 93.5 * std::cos(3 * t) + 0.118 * std::cos(5 * t), 0.1);
    }
}

// Against PROJ's geodesic lengths over a small step to either side.
TEST(MetresPerDegree, AreTheSlopesOfGeodesicLengths) {
    geod_geodesic geodesic{};
    geod_init(&geodesic, Ellipsoid{}.semi_major_m, Ellipsoid{}.flattening);
    for (const double latitude : {-70.0, -33.0, 0.0, 20.0, 39.0, 52.0, 80.0}) {
        const double step = 1e-3;
        double north = 0.0;
        double east = 0.0;
        geod_inverse(&geodesic, latitude - step, 0.0, latitude + step, 0.0, &north, nullptr, nullptr);
        geod_inverse(&geodesic, latitude, -step, latitude, step, &east, nullptr, nullptr);
        const MetresPerDegree metres = metres_per_degree(latitude, Ellipsoid{});
        EXPECT_NEAR(metres.north, north / (2.0 * step), 1e-8 * metres.north);
        EXPECT_NEAR(metres.east, east / (2.0 * step), 1e-8 * metres.east);
    }
}

}  // namespace
}  // namespace eaveshed
