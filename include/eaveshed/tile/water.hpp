// The water side of one roof: rain, harvest, summer demand and what each storage makes of them.
#pragma once

#include <optional>
#include <vector>

#include "eaveshed/record/result.hpp"
#include "eaveshed/storage/recommend.hpp"
#include "eaveshed/tile/rules.hpp"
#include "eaveshed/tile/take.hpp"
#include "eaveshed/tile/tile_input.hpp"

namespace eaveshed {

struct WaterOutcome {
    bool has_rain = false;
    std::vector<OptionResult> options;       // as TileRules::options
    std::optional<std::size_t> recommended;  // position among them; none when no storage replaces anything (`no_use`)
    Take take;                               // that storage could replace
    std::vector<TankYear> counted;           // the tank years of every statistic
};

// Fills the harvest and demand columns, their flags and the storage curve of `result`, whose plan area is set. Without
// rain nothing is filled. `parcel` is null for a roof without one.
[[nodiscard]] WaterOutcome evaluate_water(const RoofInput& roof, const ParcelInput* parcel, const ClimateInput& climate,
                                          const TileRules& rules, RoofResult& result);

// Fills the storage and forbearance columns and their flag for the chosen option: once for each result.
void fill_storage(const WaterOutcome& water, std::size_t chosen_option, const TileRules& rules, RoofResult& result);

}  // namespace eaveshed
