// Points along the outside of a footprint, where the ground beside a building is looked up.
#pragma once

#include <vector>

#include "eaveshed/shape/polygon.hpp"

namespace eaveshed {

// Each segment of the outer rings is cut into ceil(length / half_cell) equal steps and the point at the start of each
// given, in the order of parts and vertices; a segment without length gives none, holes give none. Everything is in the
// elevation raster's CRS; `half_cell` is half its smaller cell side and > 0.
// method.md 1.9.
[[nodiscard]] std::vector<Point> outline_samples(const MultiPolygon& outline, double half_cell);

}  // namespace eaveshed
