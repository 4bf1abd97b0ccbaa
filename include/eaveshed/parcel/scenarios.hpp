// The storage as chosen in other climates: the store run again, nothing sited anew.
#pragma once

#include <span>
#include <vector>

#include "eaveshed/record/tile_rows.hpp"
#include "eaveshed/site/computed_roof.hpp"
#include "eaveshed/site/rules.hpp"
#include "eaveshed/site/tile_input.hpp"

namespace eaveshed {

struct SharedStorage;

// One row a scenario of the settings, without its texts. `row`: the parcel's, filled.
// method.md 8.7.
[[nodiscard]] std::vector<ScenarioRow> parcel_scenarios(const TileParcel& parcel, const TileInput& tile,
                                                        const TileRules& rules, std::span<const ComputedRoof> roofs,
                                                        const SharedStorage& store, const ParcelRow& row);
// The same of a roof in no parcel; nothing for one without a storage.
[[nodiscard]] std::vector<ScenarioRow> roof_scenarios(const ComputedRoof& roof, const TileInput& tile,
                                                      const TileRules& rules);

}  // namespace eaveshed
