// Cells of the same label as outlines.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/shape/polygon.hpp"

namespace eaveshed {

// Of each label below `count` the cells that have it, as one outline along their sides (GDAL's polygonize; cells hang
// together over sides), in the CRS of the grid. Other labels are left out.
// `labels`: one a cell, row-major from the north-west; as many as the grid has cells, else an internal error. `where`
// and `remedy`: for the working error where they cannot be drawn, of memory.
[[nodiscard]] std::vector<MultiPolygon> label_outlines(std::span<const std::uint32_t> labels, const Grid& grid,
                                                       std::size_t count,
                                                       const std::string& where = "outlines of cells",
                                                       const std::string& remedy = "use larger cells");

}  // namespace eaveshed
