// A map from one plane to another around a place, as plain numbers: what a transformation between two CRSs comes to
// over some hundred metres.
#pragma once

#include <optional>

#include "eaveshed/core/grid.hpp"

namespace eaveshed {

// Linear about a pair of places. Over 100 m between two projections of one place, or a projection and degrees, it is
// off by some millimetres: the Earth's curvature.
struct PlaneMap {
    Point from;  // the place in the first plane
    Point to;    // and in the second
    double x_per_x = 1.0;
    double x_per_y = 0.0;
    double y_per_x = 0.0;
    double y_per_y = 1.0;

    [[nodiscard]] Point operator()(Point point) const {
        const double dx = point.x - from.x;
        const double dy = point.y - from.y;
        return {to.x + x_per_x * dx + x_per_y * dy, to.y + y_per_x * dx + y_per_y * dy};
    }
    // From the second plane back to the first; none for a map that makes a line of the plane.
    [[nodiscard]] std::optional<PlaneMap> inverse() const {
        const double determinant = x_per_x * y_per_y - x_per_y * y_per_x;
        if (determinant == 0.0) {
            return std::nullopt;
        }
        return PlaneMap{
            to, from, y_per_y / determinant, -x_per_y / determinant, -y_per_x / determinant, x_per_x / determinant};
    }
};

// The map that takes three places to three others; `east` and `north` are `dx` and `dy` away from `from` along the
// first plane's axes.
struct MappedCorner {
    Point from;
    double dx = 1.0;
    double dy = 1.0;
    Point to;     // of `from`
    Point east;   // of from + (dx, 0)
    Point north;  // of from + (0, dy)
};
[[nodiscard]] inline PlaneMap plane_map(const MappedCorner& corner) {
    return {corner.from,
            corner.to,
            (corner.east.x - corner.to.x) / corner.dx,
            (corner.north.x - corner.to.x) / corner.dy,
            (corner.east.y - corner.to.y) / corner.dx,
            (corner.north.y - corner.to.y) / corner.dy};
}

}  // namespace eaveshed
