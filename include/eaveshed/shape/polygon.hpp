// Outlines as plain data. Rings are closed (first point repeated at the end) and of either direction of turn; holes lie
// inside the outer ring. Coordinates are in whatever CRS or frame the owner says.
#pragma once

#include <vector>

#include "eaveshed/core/grid.hpp"

namespace eaveshed {

using Ring = std::vector<Point>;
using Line = std::vector<Point>;

struct Polygon {
    Ring outer;
    std::vector<Ring> holes;
    friend bool operator==(const Polygon&, const Polygon&) = default;
};

struct MultiPolygon {
    std::vector<Polygon> parts;
    [[nodiscard]] bool empty() const { return parts.empty(); }
    friend bool operator==(const MultiPolygon&, const MultiPolygon&) = default;
};

// Empty box for an empty outline.
[[nodiscard]] Box bounds(const MultiPolygon& outline);
[[nodiscard]] Box bounds(const Line& line);

// Applies f(Point) -> Point to every vertex.
template <typename F>
[[nodiscard]] MultiPolygon mapped(MultiPolygon outline, F&& f) {
    for (Polygon& part : outline.parts) {
        for (Point& point : part.outer) {
            point = f(point);
        }
        for (Ring& hole : part.holes) {
            for (Point& point : hole) {
                point = f(point);
            }
        }
    }
    return outline;
}

}  // namespace eaveshed
