// Every option of the catalogue at a parcel's pad. Private to the module.
#pragma once

#include <vector>

#include "added.hpp"
#include "eaveshed/parcel/pad_sizes.hpp"
#include "eaveshed/record/tile_rows.hpp"
#include "parcel_roofs.hpp"

namespace eaveshed {

// All of them, the smallest first, held against the rules on the cell of the system's pad; that of the system stands.
// method.md 8.14.
[[nodiscard]] std::vector<SizeAtPad> sizes_at_pad(const ParcelRoofs& together, const SharedStorage& system,
                                                  const TileRules& rules);

// The rows of those that stand. `parcel`: its row, filled.
[[nodiscard]] std::vector<ParcelOptionRow> option_rows(const std::vector<SizeAtPad>& sizes, const SharedStorage& system,
                                                       const ExistingStorage& existing, const ParcelRow& parcel,
                                                       const TileRules& rules);

}  // namespace eaveshed
