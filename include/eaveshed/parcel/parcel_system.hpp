// The parcel's own storage: which of its roofs fill it together, where it stands, and what it replaces.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "eaveshed/record/tile_rows.hpp"
#include "eaveshed/site/computed_roof.hpp"
#include "eaveshed/site/rules.hpp"
#include "eaveshed/site/tile_input.hpp"
#include "eaveshed/siting/search.hpp"

namespace eaveshed {

// `roofs`: all of the parcel's, in input order, evaluated one by one; those that fill the storage are marked as
// connected.
// method.md 7.3 to 7.8.
[[nodiscard]] ParcelRows evaluate_parcel(const TileParcel& parcel, const TileInput& tile, const TileRules& rules,
                                         std::span<ComputedRoof> roofs);

// Of a storage what is not there yet, m3 nominal. `existing_m3`: none is 0.
// method.md 7.8.
[[nodiscard]] double new_storage_m3(const StorageOption& option, const std::optional<double>& existing_m3);

// What has its price in a storage with its ground, pipes and pump.
struct SystemParts {
    std::optional<double> tank_cost;  // of the whole option
    double new_share = 1.0;           // part of the storage that is not there yet, 0..1
    double new_tanks = 1.0;           // that are not there yet: each needs its ground; a whole number
    double fill_lines_m = 0.0;        // from all connected roofs
    double feed_pipe_m = 0.0;
    double row_pipe_m = 0.0;  // along a row of tanks
    bool pump = false;

    [[nodiscard]] double pipes_m() const { return fill_lines_m + feed_pipe_m + row_pipe_m; }
};
struct CostLines {
    double tanks = 0.0;
    double pad = 0.0;
    double pipes = 0.0;
    double pump = 0.0;
    [[nodiscard]] double total() const { return tanks + pad + pipes + pump; }
};
// None where a price is missing that is needed.
// method.md 7.9.
[[nodiscard]] std::optional<CostLines> cost_lines(const SystemParts& parts, const CostSettings& prices);

// The parts of a storage on a pad of the parcel. `row`: what is there already, and the fill lines of all connected
// roofs.
[[nodiscard]] SystemParts system_parts(const StorageOption& option, const Pad& pad, const ParcelRow& row);

}  // namespace eaveshed
