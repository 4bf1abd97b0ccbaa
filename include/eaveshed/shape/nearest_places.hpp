// The places nearest to a point of the Earth, of a fixed set of some or of thousands.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/shape/ellipsoid.hpp"

namespace eaveshed {

struct PlaceAtDistance {
    std::uint32_t place = 0;  // position in the set
    double distance_m = 0.0;
};

// Thread-safe after construction.
class NearestPlaces {
public:
    NearestPlaces() = default;
    // Longitudes and latitudes, degrees.
    NearestPlaces(std::vector<Point> degrees, const Ellipsoid& ellipsoid);

    [[nodiscard]] std::size_t size() const { return m_degrees.size(); }
    // At most `count` of them, by geodesic distance, nearest first; equal distances by position.
    // method.md 2.11.
    [[nodiscard]] std::vector<PlaceAtDistance> nearest(Point degrees, std::size_t count) const;

private:
    std::vector<Point> m_degrees;
    std::vector<std::array<double, 3>> m_on_sphere;  // unit vectors
    Ellipsoid m_ellipsoid;
};

}  // namespace eaveshed
