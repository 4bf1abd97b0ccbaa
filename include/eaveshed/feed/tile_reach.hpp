// How far around a tile's roofs the world can matter to them, and what a tile costs.
#pragma once

#include <vector>

#include "eaveshed/inputs/inputs.hpp"
#include "eaveshed/plan/plan.hpp"

namespace eaveshed {

// Beyond it no footprint, stream, exclusion or road can matter to a roof; generous. In the units of the terrain's CRS,
// of degrees the shortest among the roofs.
struct TileReach {
    double x = 0.0;
    double y = 0.0;
};
[[nodiscard]] TileReach tile_reach(const Settings& settings, const Inputs& inputs, const Plan& plan);

// Of each tile of the plan: how many of its roofs are computed, and how many cells of the elevations lie around them.
struct TileLoad {
    double computed_roofs = 0.0;
    double cells = 0.0;
};
[[nodiscard]] std::vector<TileLoad> tile_loads(const Settings& settings, const Inputs& inputs, const Plan& plan);

}  // namespace eaveshed
