// What a raster of one quantity turned out to be, before any cell is read.
#pragma once

#include <string>
#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/crs/crs.hpp"

namespace eaveshed {

// What heights count from, as far as a file says.
struct VerticalReference {
    std::string name;          // of the datum; empty: not said
    bool ellipsoidal = false;  // above the ellipsoid of the CRS, not above a level of the sea
    [[nodiscard]] bool known() const { return ellipsoidal || !name.empty(); }
    friend bool operator==(const VerticalReference&, const VerticalReference&) = default;
};

// Below and above them is no ground, in metres: the shore of the Dead Sea lies at about -430, the highest summit at
// 8849 (from memory). Numbers beyond are never used: they are marks of missing values that the file does not declare,
// or in another unit.
inline constexpr double kLowestHeightM = -450.0;
inline constexpr double kHighestHeightM = 9000.0;

struct RasterInfo {
    std::string where;               // the setting and the path as given, for messages
    std::vector<std::string> files;  // resolved, in order
    Grid grid;
    Crs crs;
    int bands = 1;
    double metres_per_value = 1.0;  // vertical unit; already applied to what is read
    double band_scale = 1.0;        // number of the file x scale + offset, then the unit; likewise
    double band_offset = 0.0;
    std::string unit_said;          // who states the vertical unit, and which; empty: nobody does, metres are taken
    bool unit_in_file = false;      // the file itself states it
    bool declares_missing = false;  // a nodata value or mask
    VerticalReference vertical;
    double value_step = 0.0;                  // of an integer raster, with scale and unit, m; 0 for floating point
    std::int64_t block_cols = 1;              // cells across of the widest block that is read at once, of any file
    std::size_t cell_bytes = sizeof(double);  // of such a block in memory, at most
};

}  // namespace eaveshed
