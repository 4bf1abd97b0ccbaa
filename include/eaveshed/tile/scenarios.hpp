// The storage as chosen in other climates: the store run again, nothing sited anew.
#pragma once

#include <span>
#include <vector>

#include "eaveshed/record/result.hpp"
#include "eaveshed/tile/computed_roof.hpp"
#include "eaveshed/tile/rules.hpp"
#include "eaveshed/tile/tile_input.hpp"

namespace eaveshed {

struct ParcelStore;

// One row a scenario of the settings, without its texts. `row`: the parcel's, filled.
[[nodiscard]] std::vector<ScenarioRow> parcel_scenarios(const ParcelInput& parcel, const TileInput& tile,
                                                        const TileRules& rules, std::span<const ComputedRoof> roofs,
                                                        const ParcelStore& store, const ParcelRow& row);
// The same of a roof in no parcel; nothing for one without a storage.
[[nodiscard]] std::vector<ScenarioRow> roof_scenarios(const ComputedRoof& roof, const TileInput& tile,
                                                      const TileRules& rules);

}  // namespace eaveshed
