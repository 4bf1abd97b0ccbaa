// The heart of the program: from a tile's inputs to its rows.
#pragma once

#include "eaveshed/record/tile_rows.hpp"
#include "eaveshed/settings/settings.hpp"
#include "eaveshed/site/tile_input.hpp"

namespace eaveshed {

// Pure: the same input gives the same rows, bit for bit, whatever other sites share the tile. Safe to call from several
// threads at once. A roof's troubles are outcomes in its row; only a broken invariant throws.
[[nodiscard]] TileRows evaluate_tile(const TileInput& input, const Settings& settings);

}  // namespace eaveshed
