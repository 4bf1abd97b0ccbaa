// What a raster without a coordinate reference system is held against.
#pragma once

#include <string>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/crs/crs.hpp"

namespace eaveshed {

// A layer of the same project.
struct Neighbour {
    std::string label;  // "the footprints"
    Crs crs;
    Box extent;  // in its own CRS
};

}  // namespace eaveshed
