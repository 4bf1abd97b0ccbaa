// What the storage on a pad weighs, lets go in a storm and asks of pumps: told, and changes no choice.
#pragma once

#include "eaveshed/record/pad_row.hpp"
#include "eaveshed/record/roof_row.hpp"
#include "eaveshed/site/rules.hpp"

namespace eaveshed {

// The storm notes.storm_mm_h on the roofs that fill a storage, L/s.
struct StormOff {
    double peak_lps = 0.0;
    double connected_lps = 0.0;  // of it through the connected downspouts
};
// Of one roof whose water columns are set.
// method.md 10.4.
[[nodiscard]] StormOff storm_of(const RoofRow& roof, const TileRules& rules);

// A storage's water.
struct PadWater {
    double forbearance_m3 = 0.0;    // that it gives in a season
    double harvest_mean_m3 = 0.0;   // that it is offered in a winter
    double overflow_mean_m3 = 0.0;  // of it, and of the rest of the year, what it lets go
    StormOff storm;
};
// Of a row of roofs or parcels whose storage columns are set.
template <typename Row>
[[nodiscard]] PadWater pad_water(const Row& row, const StormOff& storm) {
    return {row.forbearance_m3.value(), row.harvest_mean_m3.value(), row.overflow_mean_m3.value(), storm};
}

// Fills the columns of pumps, mass and overflow. `pad`: its columns of place, feed and delivery are set; `option`
// stands on it. Where there is no pump, its columns are null.
// method.md 10.4, 10.6, 10.7.
void fill_pad_duty(const StorageOption& option, const PadWater& water, const TileRules& rules, PadRow& pad);

}  // namespace eaveshed
