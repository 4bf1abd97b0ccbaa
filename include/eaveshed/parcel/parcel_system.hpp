// The parcel's own storage: which of its roofs fill it together, where it stands, and what it replaces.
#pragma once

#include <vector>

#include "eaveshed/record/tile_rows.hpp"
#include "eaveshed/site/computed_roof.hpp"
#include "eaveshed/site/rules.hpp"
#include "eaveshed/site/tile_input.hpp"

namespace eaveshed {

// `roofs`: all of the parcel's, in input order, evaluated one by one; those that fill the storage are marked as
// connected.
// method.md 7.3 to 7.8.
[[nodiscard]] ParcelRows evaluate_parcel(const TileParcel& parcel, const TileInput& tile, const TileRules& rules,
                                         std::span<ComputedRoof> roofs);

// What a storage costs with its pad, pipes and pump. `new_share`: part of the storage that is not there yet, 0..1;
// without any there is no pad to make. None where a price is missing that is needed.
// method.md 7.9.
struct SystemParts {
    std::optional<double> tank_cost;  // of the whole option
    double new_share = 1.0;
    double pipes_m = 0.0;  // fill lines and feed pipe
    bool pump = false;
};
struct CostLines {
    double tanks = 0.0;
    double pad = 0.0;
    double pipes = 0.0;
    double pump = 0.0;
    [[nodiscard]] double total() const { return tanks + pad + pipes + pump; }
};
[[nodiscard]] std::optional<CostLines> cost_lines(const SystemParts& parts, const CostSettings& prices);

// The parts of a parcel's storage with a pad: what its row says of volumes, lengths and delivery.
[[nodiscard]] SystemParts system_parts(const StorageOption& option, const ParcelRow& row);

}  // namespace eaveshed
