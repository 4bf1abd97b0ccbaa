// The plane of a grid whose rows and columns do not run along the axes of its coordinate reference system: the same
// plane, turned. Lengths, areas and angles in it are those of the system itself; directions differ by the turn.
#pragma once

#include "eaveshed/crs/crs.hpp"

namespace eaveshed {

// A projected CRS seen from `origin` with its x axis turned by `turn_deg` from east to north. Distances from the origin
// are in the unit of `base`. A geographic CRS has no such plane (an internal error).
[[nodiscard]] Crs turned_crs(const Crs& base, Point origin, double turn_deg);

// The CRS that was turned; any other as it is.
[[nodiscard]] Crs unturned(const Crs& crs);

// The turn of a CRS that came from there; 0 of every other.
[[nodiscard]] double turn_deg_of(const Crs& crs);

}  // namespace eaveshed
