// Where on the earth a layer says it is, and whether its coordinates can be true.
#pragma once

#include <string>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/core/grid.hpp"
#include "eaveshed/crs/crs.hpp"
#include "layer_reader.hpp"
#include "point_columns.hpp"

namespace eaveshed {

struct LayerPlace {
    Crs crs;     // none when the layer does not say and need not
    Box extent;  // of the layer without a filter; from its header unless that looks wrong; empty for no geometry
};

// Throws input errors with a remedy: no CRS; a local one; a projected one although every coordinate looks like degrees;
// a geographic one although none does. Leaves the reader somewhere in the layer.
[[nodiscard]] LayerPlace find_place(LayerReader& reader, CrsDuty duty);

// The same of a table with its places in two columns: that of its .prj file where there is one beside it; else degrees
// are WGS 84, and of other numbers nothing is known. Warns of rows without a place; throws where none has one.
[[nodiscard]] LayerPlace find_place(LayerReader& reader, const std::string& path, const PointColumns& columns,
                                    Findings& findings);

}  // namespace eaveshed
