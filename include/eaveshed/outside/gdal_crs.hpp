// Coordinate reference systems as PROJ knows them, through GDAL.
//
// Ways between two of them are PROJ's default operation (of several the best one for each point, as PROJ ranks them by
// area and accuracy), without network grids.
#pragma once

#include <string>

#include "eaveshed/crs/crs.hpp"

class OGRSpatialReference;

namespace eaveshed {

// Takes a copy and sets the axis order; the vertical part of a compound CRS is dropped. Null gives "none". What PROJ
// works out lazily is worked out now, the rest behind a lock.
[[nodiscard]] Crs crs_from_handle(const OGRSpatialReference* srs);

// AUTHORITY:CODE, WKT or PROJJSON, told apart by our own look at the text. Never touches the network or a file. Throws
// an input error naming `where`.
[[nodiscard]] Crs crs_from_text(const std::string& text, const std::string& where);

// WGS 84 in degrees: EPSG:4326.
[[nodiscard]] Crs wgs84();

// For the library's own calls on one thread; null for none, and for a CRS that did not come from here. Lives as long as
// any copy of the Crs.
[[nodiscard]] const OGRSpatialReference* gdal_handle(const Crs& crs);

}  // namespace eaveshed
