#include "eaveshed/shape/ellipsoid.hpp"

#include <geodesic.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace eaveshed {

namespace {

constexpr double kRadiansPerDegree = std::numbers::pi / 180.0;

// Up to this size, about a kilometre, a ring is measured in a plane of its own.
constexpr double kLocalDegrees = 0.01;
constexpr double kLocalMaxLatitude = 85.0;

// A transverse Mercator plane that touches the ellipsoid at the ring (Snyder 1987, Map Projections: a working manual,
// eq. 8-9 and 8-10 with k0 = 1, and the meridian arc by three-point Gauss-Legendre instead of eq. 3-21). Within half a
// kilometre of the centre its area scale is 1 to 6e-9 and geodesics are straight to 1e-10 of their length.
class LocalPlane {
public:
    LocalPlane(Point centre_deg, const Ellipsoid& ellipsoid)
        : m_centre_deg(centre_deg),
          m_a(ellipsoid.semi_major_m),
          m_e2(ellipsoid.flattening * (2.0 - ellipsoid.flattening)) {}

    [[nodiscard]] Point operator()(Point lon_lat_deg) const {
        const double latitude = lon_lat_deg.y * kRadiansPerDegree;
        const double sine = std::sin(latitude);
        const double cosine = std::cos(latitude);
        const double n = m_a / std::sqrt(1.0 - m_e2 * sine * sine);
        const double t = sine * sine / (cosine * cosine);
        const double c = m_e2 / (1.0 - m_e2) * cosine * cosine;
        const double a = std::remainder(lon_lat_deg.x - m_centre_deg.x, 360.0) * kRadiansPerDegree * cosine;
        const double a2 = a * a;
        return {n * a * (1.0 + (1.0 - t + c) * a2 / 6.0),
                meridian_m(lon_lat_deg.y) +
                    n * sine / cosine * a2 * (0.5 + (5.0 - t + 9.0 * c + 4.0 * c * c) * a2 / 24.0)};
    }

private:
    [[nodiscard]] double meridian_m(double latitude_deg) const {
        const double half = 0.5 * (latitude_deg - m_centre_deg.y) * kRadiansPerDegree;
        const double middle = 0.5 * (latitude_deg + m_centre_deg.y) * kRadiansPerDegree;
        const double node = half * std::sqrt(0.6);
        return half * (5.0 * radius_m(middle - node) + 8.0 * radius_m(middle) + 5.0 * radius_m(middle + node)) / 9.0;
    }
    [[nodiscard]] double radius_m(double latitude) const {  // of the meridian
        const double sine = std::sin(latitude);
        const double w2 = 1.0 - m_e2 * sine * sine;
        return m_a * (1.0 - m_e2) / (w2 * std::sqrt(w2));
    }

    Point m_centre_deg;
    double m_a;
    double m_e2;
};

bool is_local(const Ring& ring) {
    const Point first = ring.front();
    return std::fabs(first.y) <= kLocalMaxLatitude && std::ranges::all_of(ring, [first](Point point) {
               return std::fabs(point.y - first.y) <= kLocalDegrees &&
                      std::fabs(std::remainder(point.x - first.x, 360.0)) <= kLocalDegrees;
           });
}

double local_ring_area_m2(const Ring& ring, const Ellipsoid& ellipsoid) {
    const LocalPlane plane(ring.front(), ellipsoid);
    double twice = 0.0;
    Point previous = plane(ring.front());
    for (const Point& vertex : ring) {
        const Point point = plane(vertex);
        twice += previous.x * point.y - point.x * previous.y;
        previous = point;
    }
    return 0.5 * std::fabs(twice);
}

double ring_area_m2(const Ring& ring, const geod_geodesic& geodesic, const Ellipsoid& ellipsoid) {
    if (ring.size() < 4) {  // the routine closes the ring itself; two distinct vertices enclose nothing
        return 0.0;
    }
    if (is_local(ring)) {
        return local_ring_area_m2(ring, ellipsoid);
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
        area_m2 += ring_area_m2(part.outer, geodesic, ellipsoid);
        for (const Ring& hole : part.holes) {
            area_m2 -= ring_area_m2(hole, geodesic, ellipsoid);
        }
    }
    return area_m2;
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
