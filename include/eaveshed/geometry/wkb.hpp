// Well-known binary as plain data: what of a geometry this program can use. ISO codes and the older flag bits for Z, M
// and SRID are understood, Z and M are dropped. Only flat points, lines and polygons and collections of them count;
// curves and surfaces in space are made straight or refused by whoever writes the WKB.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/shape/polygon.hpp"

namespace eaveshed {

// The WKB within a geometry as a GeoPackage stores it (OGC 12-128r17, clause 2.1.3: GeoPackageBinary). None for other
// bytes and for a geometry that says it is empty.
[[nodiscard]] std::optional<std::span<const unsigned char>> geopackage_wkb(std::span<const unsigned char> bytes);

struct WkbPolygons {
    MultiPolygon outline;  // rings closed, of at least 4 points; in the input's order
    bool mended = false;   // a ring was closed, or one too short to bound an area was left out
};

// All polygons of the geometry, collections searched. A part without an outer ring is left out. None for bytes that are
// no WKB (cut off, unknown codes, nested deeper than 32). Coordinates may be anything, also not finite.
[[nodiscard]] std::optional<WkbPolygons> wkb_polygons(std::span<const unsigned char> wkb);

// All lines of the geometry, collections searched, in order, of at least 2 points and finite; empty where there is none
// and for bytes that are no WKB.
[[nodiscard]] std::vector<Line> wkb_lines(std::span<const unsigned char> wkb);

// The same of points, without any that is not finite (an empty one is not).
[[nodiscard]] std::vector<Point> wkb_points(std::span<const unsigned char> wkb);
// The first of these.
[[nodiscard]] std::optional<Point> wkb_point(std::span<const unsigned char> wkb);

}  // namespace eaveshed
