#include "eaveshed/shape/nearest_places.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <tuple>
#include <utility>

namespace eaveshed {

namespace {

std::array<double, 3> unit_vector(Point degrees) {
    constexpr double kRadians = std::numbers::pi / 180.0;
    const double longitude = degrees.x * kRadians;
    const double latitude = degrees.y * kRadians;
    return {std::cos(latitude) * std::cos(longitude), std::cos(latitude) * std::sin(longitude), std::sin(latitude)};
}

// Radians on the sphere.
double arc(const std::array<double, 3>& a, const std::array<double, 3>& b) {
    const double chord = std::hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
    return 2.0 * std::asin(std::min(1.0, chord / 2.0));
}

}  // namespace

NearestPlaces::NearestPlaces(std::vector<Point> degrees, const Ellipsoid& ellipsoid)
    : m_degrees(std::move(degrees)), m_ellipsoid(ellipsoid) {
    for (const Point& place : m_degrees) {
        m_on_sphere.push_back(unit_vector(place));
    }
}

// Only those are measured on the ellipsoid that may be among the nearest: lengths on it and on the sphere of latitudes
// taken as they are have ratios that differ by 1.0 % at most (radii of curvature from a (1 - e2) to a / sqrt(1 - e2)).
std::vector<PlaceAtDistance> NearestPlaces::nearest(Point degrees, std::size_t count) const {
    constexpr double kSlack = 1.02;
    constexpr double kLeastSlack = 1e-9;  // radians: some millimetres
    count = std::min(count, size());
    if (count == 0) {
        return {};
    }
    const std::array<double, 3> here = unit_vector(degrees);
    std::vector<double> arcs;
    arcs.reserve(size());
    for (const auto& place : m_on_sphere) {
        arcs.push_back(arc(here, place));
    }
    double most = std::numeric_limits<double>::infinity();
    if (count < size()) {
        std::vector<double> sorted = arcs;
        std::ranges::nth_element(sorted, sorted.begin() + static_cast<std::ptrdiff_t>(count - 1));
        most = sorted[count - 1] * kSlack + kLeastSlack;
    }
    std::vector<PlaceAtDistance> found;
    for (std::uint32_t place = 0; place < size(); ++place) {
        if (arcs[place] <= most) {
            found.push_back({place, geodesic_distance_m(degrees, m_degrees[place], m_ellipsoid)});
        }
    }
    std::ranges::sort(found, {}, [](const PlaceAtDistance& at) { return std::tuple(at.distance_m, at.place); });
    found.resize(count);
    return found;
}

}  // namespace eaveshed
