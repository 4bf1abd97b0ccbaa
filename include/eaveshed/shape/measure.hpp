// Distances, containment and areas in a plane. All coordinates of one call are in the same frame, normally local
// metres. Every call looks at every edge once: for many questions to one outline use prepared_area.hpp, which gives the
// same digits.
#pragma once

#include <optional>

#include "eaveshed/shape/polygon.hpp"

namespace eaveshed {

// Area by the shoelace formula, holes subtracted, sign-free.
[[nodiscard]] double planar_area(const MultiPolygon& outline);

// The part of that area inside a box, to the rounding of the coordinates.
// method.md 7.10.
[[nodiscard]] double planar_area_inside(const MultiPolygon& outline, const Box& box);

// Strictly inside one of the parts: a point on an edge or in a hole is not. Exact, whatever the rounding of
// coordinates.
// method.md 0.13.
[[nodiscard]] bool contains(const MultiPolygon& outline, Point point);

// 0 inside or on the edge; infinite for an empty outline.
[[nodiscard]] double distance_to_area(const MultiPolygon& outline, Point point);

// Distance to the nearest edge, outer or hole, from either side; infinite for an empty outline.
[[nodiscard]] double distance_to_edge(const MultiPolygon& outline, Point point);

// The point of the area nearest to another: that itself inside or on the edge; none for an empty outline. Of several
// edges as near, the first.
[[nodiscard]] std::optional<Point> nearest_point(const MultiPolygon& outline, Point point);

// A line of one point is that point; an empty line is infinitely far away.
[[nodiscard]] double distance_to_line(const Line& line, Point point);

// In the frame of its points; 0 for fewer than two.
[[nodiscard]] double planar_length(const Line& line);

}  // namespace eaveshed
