// The garden of a roof: cells where water may be wanted, and the one that stands in for a use point that was not given.
#pragma once

#include <optional>
#include <vector>

#include "eaveshed/vicinity/site_terrain.hpp"
#include "eaveshed/vicinity/surroundings.hpp"

namespace eaveshed {

struct GardenRules {
    double max_feed_m = 0.0;  // farthest from the roof, horizontally
    double max_slope_pct = 0.0;
    std::int64_t step_cells = 1;  // rows and columns that are whole multiples of this
};

struct GardenCell {
    Cell cell;
    double elev_m = 0.0;
};

// Cells of the garden in order of row, then column: on the lattice, belonging to the roof, within reach, with elevation
// and slope, not too steep, not built on.
// method.md 6.6.
[[nodiscard]] std::vector<GardenCell> garden_cells(const SiteTerrain& terrain, const Surroundings& surroundings,
                                                   const GardenRules& rules);

// Lattice step: garden_step_m in whole cells, at least one.
[[nodiscard]] std::int64_t garden_step_cells(double garden_step_m, double smaller_cell_side_m);

// The cell at the nearest-rank share (0..1) of the garden's elevations; of the cells with exactly that elevation the
// one nearest to `interior_m` (the roof's interior point in local metres), ties to the lowest row, then column.
// method.md 6.8.
[[nodiscard]] std::optional<GardenCell> assumed_use_cell(const std::vector<GardenCell>& garden,
                                                         const SiteTerrain& terrain, Point interior_m, double share);

}  // namespace eaveshed
