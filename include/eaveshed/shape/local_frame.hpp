// Coordinates of some CRS as metres around an origin, so that distances are plain Pythagoras.
#pragma once

#include "eaveshed/shape/polygon.hpp"

namespace eaveshed {

// x stays the easting or longitude and y the northing or latitude; nothing is turned. For a projected CRS both scales
// are the length of its unit; for one in degrees they are the metres per degree at the origin (ellipsoid.hpp), and an
// east-west distance is then off by tan(latitude) x metres north of the origin / earth radius: 1.6e-5 at 100 m and 45
// degrees. Invariant: both scales > 0.
// method.md 0.12.
struct LocalFrame {
    Point origin;  // in the CRS
    double metres_per_x = 1.0;
    double metres_per_y = 1.0;

    friend bool operator==(const LocalFrame&, const LocalFrame&) = default;
    [[nodiscard]] Point to_metres(Point crs) const {
        return {(crs.x - origin.x) * metres_per_x, (crs.y - origin.y) * metres_per_y};
    }
    [[nodiscard]] Point from_metres(Point local) const {
        return {origin.x + local.x / metres_per_x, origin.y + local.y / metres_per_y};
    }
    [[nodiscard]] Line to_metres(const Line& crs) const;
    [[nodiscard]] MultiPolygon to_metres(const MultiPolygon& crs) const;
};

}  // namespace eaveshed
