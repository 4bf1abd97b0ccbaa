// What a raster of one quantity turned out to be, before any cell is read.
#pragma once

#include <string>
#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/crs/crs.hpp"

namespace eaveshed {

struct RasterInfo {
    std::string where;               // the setting and the path as given, for messages
    std::vector<std::string> files;  // resolved, in order
    Grid grid;
    Crs crs;
    int bands = 1;
    double metres_per_value = 1.0;  // vertical unit; already applied to what is read
    double value_step = 0.0;        // of an integer raster, with scale and unit, m; 0 for floating point
};

}  // namespace eaveshed
