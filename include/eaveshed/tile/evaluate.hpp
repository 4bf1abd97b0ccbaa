// The heart of the program: from a tile's inputs to its rows.
#pragma once

#include <span>
#include <vector>

#include "eaveshed/record/result.hpp"
#include "eaveshed/settings/settings.hpp"
#include "eaveshed/tile/computed_roof.hpp"
#include "eaveshed/tile/rules.hpp"
#include "eaveshed/tile/tile_input.hpp"

namespace eaveshed {

// Pure: the same input gives the same rows, bit for bit, whatever other sites share the tile. Safe to call from several
// threads at once. A roof's troubles are outcomes in its row; only a broken invariant throws.
[[nodiscard]] TileResult evaluate_tile(const TileInput& input, const Settings& settings);

// A roof of the tile; `parcel` is null for a roof without one.
struct RoofOfSite {
    const RoofInput* roof = nullptr;
    const ParcelInput* parcel = nullptr;
};

// The same of some roofs of the tile, each to the last bit what it is alone. `rules` and what is pointed to outlive the
// result.
[[nodiscard]] std::vector<ComputedRoof> evaluate_roofs(std::span<const RoofOfSite> roofs, const TileInput& tile,
                                                       const TileRules& rules);
[[nodiscard]] std::vector<ComputedRoof> evaluate_roofs(const std::vector<RoofInput>& roofs, const ParcelInput& parcel,
                                                       const TileInput& tile, const TileRules& rules);
[[nodiscard]] ComputedRoof evaluate_roof(const RoofInput& roof, const ParcelInput* parcel, const TileInput& tile,
                                         const TileRules& rules);

}  // namespace eaveshed
