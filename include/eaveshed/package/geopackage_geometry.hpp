// Geometries as GeoPackage stores them (OGC 12-128r17, clause 2.1.3: GeoPackageBinary): a header with the SRS and the
// envelope, then ISO WKB, all little-endian.
#pragma once

#include <cstdint>
#include <vector>

#include "eaveshed/shape/polygon.hpp"
#include "eaveshed/shape/segment.hpp"

namespace eaveshed {

// A MultiPolygon with an xy envelope; the outline is not empty.
[[nodiscard]] std::vector<unsigned char> geopackage_geometry(const MultiPolygon& outline, std::int32_t srs_id);

// A Point Z, without an envelope.
[[nodiscard]] std::vector<unsigned char> geopackage_geometry(Point place, double z, std::int32_t srs_id);

// A LineString Z of two points with an xy envelope.
[[nodiscard]] std::vector<unsigned char> geopackage_geometry(const Segment& line, double z_from, double z_to,
                                                             std::int32_t srs_id);

// LineString.
[[nodiscard]] std::vector<unsigned char> geopackage_geometry(const Line& line, std::int32_t srs_id);

}  // namespace eaveshed
