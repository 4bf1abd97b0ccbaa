// The heart of the program: from a tile's inputs to its rows.
#pragma once

#include "eaveshed/record/result.hpp"
#include "eaveshed/settings/settings.hpp"
#include "eaveshed/tile/computed_roof.hpp"
#include "eaveshed/tile/rules.hpp"
#include "eaveshed/tile/tile_input.hpp"

namespace eaveshed {

// Pure: the same input gives the same rows, bit for bit, whatever other sites share the tile. Safe to call from several
// threads at once. A roof's troubles are outcomes in its row; only a broken invariant throws.
[[nodiscard]] TileResult evaluate_tile(const TileInput& input, const Settings& settings);

// The same of one roof of the tile; `parcel` is null for a roof without one.
[[nodiscard]] ComputedRoof evaluate_roof(const RoofInput& roof, const ParcelInput* parcel, const TileInput& tile,
                                         const TileRules& rules);

}  // namespace eaveshed
