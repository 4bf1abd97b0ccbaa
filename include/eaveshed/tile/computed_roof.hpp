// One roof while its site is evaluated: its rows, and what the parcel's common storage asks of it.
#pragma once

#include <optional>
#include <vector>

#include "eaveshed/record/result.hpp"
#include "eaveshed/roof/eave.hpp"
#include "eaveshed/siting/search.hpp"
#include "eaveshed/tile/rules.hpp"
#include "eaveshed/tile/tile_input.hpp"
#include "eaveshed/tile/water.hpp"

namespace eaveshed {

struct ComputedRoof {
    const RoofInput* input = nullptr;  // outlives this
    RoofResult result;
    WaterOutcome water;
    std::optional<Eave> eave;
    std::size_t option = 0;  // chosen, where the water recommends any
    std::optional<Pad> pad;
    std::vector<double> garden_elev_m;  // of the garden's cells, ascending; where a pad was searched for

    [[nodiscard]] bool ok() const { return result.roof.status == Status::ok; }
};

}  // namespace eaveshed
