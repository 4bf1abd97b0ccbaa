// The page for those who may not see single parcels: sums, a map of squares, what it rests on, cautions. No identifier,
// no row of one parcel, no name of a file, and nothing of fewer than five (public_sums.hpp).
#pragma once

#include <string>

#include "eaveshed/report/basin_rows.hpp"
#include "eaveshed/report/basin_shapes.hpp"

namespace eaveshed {

// A basin of fewer than five parcels (or roofs) that can be asked is an input error: nothing could be told of it.
[[nodiscard]] std::string public_page(const BasinRows& rows, const BasinShapes& shapes);

}  // namespace eaveshed
