// The place of one roof: ground, eave, garden, use point and the elevations between which a pad needs no pump.
#pragma once

#include <optional>

#include "eaveshed/record/result.hpp"
#include "eaveshed/roof/eave.hpp"
#include "eaveshed/tile/rules.hpp"
#include "eaveshed/tile/tile_input.hpp"

namespace eaveshed {

// Fills ground and eave columns and their flags; none without any elevation at the roof.
[[nodiscard]] std::optional<Eave> evaluate_eave(const RoofInput& roof, const TileInput& tile, const TileRules& rules,
                                                RoofResult& result);

// Finds the use point and, with it, fills the elevation window for the chosen storage.
void evaluate_window(const RoofInput& roof, const ParcelInput* parcel, const TileInput& tile, const TileRules& rules,
                     const Eave& eave, const StorageOption& storage, RoofResult& result);

// The terrain cells that the place of a roof depends on: the caller loads them before the tile is evaluated.
[[nodiscard]] std::vector<CellRange> terrain_needed(const RoofInput& roof, const ParcelInput* parcel, const Grid& grid,
                                                    const TerrainMetric& metric, const SitingSettings& settings);

// Box in the terrain's CRS within which other footprints can matter to the roof.
[[nodiscard]] Box buildings_needed(const RoofInput& roof, const TerrainMetric& metric, const SitingSettings& settings);

}  // namespace eaveshed
