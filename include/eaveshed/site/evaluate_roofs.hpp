// Roofs of one or several sites, each with its rain, its storage and its pad.
#pragma once

#include <span>
#include <vector>

#include "eaveshed/site/computed_roof.hpp"
#include "eaveshed/site/rules.hpp"
#include "eaveshed/site/tile_input.hpp"
#include "eaveshed/siting/ground_verdicts.hpp"

namespace eaveshed {

// A roof of the tile; `parcel` is null for a roof without one.
struct RoofTask {
    const TileRoof* roof = nullptr;
    const TileParcel* parcel = nullptr;
};

// The same of some roofs of the tile, each to the last bit what it is alone. `tile`, `rules` and what is pointed to
// outlive the result. `verdicts`: of the tile's terrain, by rules.pad; null where few roofs would share them.
[[nodiscard]] std::vector<ComputedRoof> evaluate_roofs(std::span<const RoofTask> roofs, const TileInput& tile,
                                                       const TileRules& rules, GroundVerdicts* verdicts = nullptr);
[[nodiscard]] std::vector<ComputedRoof> evaluate_roofs(const std::vector<TileRoof>& roofs, const TileParcel& parcel,
                                                       const TileInput& tile, const TileRules& rules);
[[nodiscard]] ComputedRoof evaluate_roof(const TileRoof& roof, const TileParcel* parcel, const TileInput& tile,
                                         const TileRules& rules);

}  // namespace eaveshed
