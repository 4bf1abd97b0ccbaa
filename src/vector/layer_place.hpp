// Where on the earth a layer says it is, and whether its coordinates can be true.
#pragma once

#include "eaveshed/core/grid.hpp"
#include "eaveshed/crs/crs.hpp"
#include "layer_reader.hpp"

namespace eaveshed {

struct LayerPlace {
    Crs crs;     // none when the layer does not say and need not
    Box extent;  // of the layer without a filter; from its header unless that looks wrong; empty for no geometry
};

// Throws input errors with a remedy: no CRS; a local one; a projected one although every coordinate looks like degrees;
// a geographic one although none does. Leaves the reader somewhere in the layer.
[[nodiscard]] LayerPlace find_place(LayerReader& reader, CrsDuty duty);

}  // namespace eaveshed
