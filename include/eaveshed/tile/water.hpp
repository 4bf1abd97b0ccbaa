// The water side of one roof: rain, harvest, summer demand and what each storage makes of them.
#pragma once

#include <optional>

#include "eaveshed/record/result.hpp"
#include "eaveshed/tile/rules.hpp"
#include "eaveshed/tile/tile_input.hpp"

namespace eaveshed {

// Position of the recommended storage in TileRules::options; none when no storage replaces anything (`no_use`).
struct WaterOutcome {
    bool has_rain = false;
    std::optional<std::size_t> option;
};

// Fills the harvest, demand, storage and forbearance columns, their flags and the storage curve of `result`, whose plan
// area is set. Without rain nothing is filled. `parcel` is null for a roof without one.
[[nodiscard]] WaterOutcome evaluate_water(const RoofInput& roof, const ParcelInput* parcel, const ClimateInput& climate,
                                          const TileRules& rules, RoofResult& result);

}  // namespace eaveshed
