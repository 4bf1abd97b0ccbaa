#include "eaveshed/shape/ellipsoid.hpp"

#include <geodesic.h>

#include <cmath>
#include <numbers>

namespace eaveshed {

namespace {

constexpr double kRadiansPerDegree = std::numbers::pi / 180.0;

double ring_area_m2(const Ring& ring, const geod_geodesic& geodesic) {
    if (ring.size() < 4) {  // the routine closes the ring itself; two distinct vertices enclose nothing
        return 0.0;
    }
    geod_polygon sum{};
    geod_polygon_init(&sum, 0);
    for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
        geod_polygon_addpoint(&geodesic, &sum, ring[i].y, ring[i].x);
    }
    double area_m2 = 0.0;
    geod_polygon_compute(&geodesic, &sum, 0, 1, &area_m2, nullptr);
    return std::fabs(area_m2);
}

}  // namespace

double geodesic_area_m2(const MultiPolygon& lon_lat_deg, const Ellipsoid& ellipsoid) {
    geod_geodesic geodesic{};
    geod_init(&geodesic, ellipsoid.semi_major_m, ellipsoid.flattening);
    double area_m2 = 0.0;
    for (const Polygon& part : lon_lat_deg.parts) {
        area_m2 += ring_area_m2(part.outer, geodesic);
        for (const Ring& hole : part.holes) {
            area_m2 -= ring_area_m2(hole, geodesic);
        }
    }
    return area_m2;
}

double geodesic_distance_m(Point a_deg, Point b_deg, const Ellipsoid& ellipsoid) {
    geod_geodesic geodesic{};
    geod_init(&geodesic, ellipsoid.semi_major_m, ellipsoid.flattening);
    double distance_m = 0.0;
    geod_inverse(&geodesic, a_deg.y, a_deg.x, b_deg.y, b_deg.x, &distance_m, nullptr, nullptr);
    return distance_m;
}

MetresPerDegree metres_per_degree(double latitude_deg, const Ellipsoid& ellipsoid) {
    const double latitude = latitude_deg * kRadiansPerDegree;
    const double e2 = ellipsoid.flattening * (2.0 - ellipsoid.flattening);
    const double sine = std::sin(latitude);
    const double w2 = 1.0 - e2 * sine * sine;
    const double prime_vertical_m = ellipsoid.semi_major_m / std::sqrt(w2);
    const double meridian_m = prime_vertical_m * (1.0 - e2) / w2;
    return {kRadiansPerDegree * prime_vertical_m * std::cos(latitude), kRadiansPerDegree * meridian_m};
}

}  // namespace eaveshed
