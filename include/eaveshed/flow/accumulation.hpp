// How much ground drains through each cell.
#pragma once

#include <cstdint>
#include <memory_resource>
#include <vector>

#include "eaveshed/flow/directions.hpp"

namespace eaveshed {

struct Accumulation {
    std::pmr::vector<std::uint32_t> cells;  // the cell itself and all that drain through it; 0 for a gap
    std::pmr::vector<double> area_m2;       // the same in area; empty where all cells are of one size
    double cell_area_m2 = 0.0;              // of one cell then

    [[nodiscard]] double area_at(CellNumber cell) const {
        return area_m2.empty() ? static_cast<double>(cells[cell]) * cell_area_m2 : area_m2[cell];
    }
};

// Sums along the directions. The cells and areas of all outlets together are those of the ground. Each cell is passed
// once: those that nothing drains to begin, and each sum goes on as soon as the last that it waits for has come (Zhou,
// Wei and Fu 2019, An efficient and fast flow accumulation algorithm, Frontiers of Earth Science 13; from memory). The
// order of the additions comes from the directions alone. 4 bytes a cell, 12 where cells differ in area, and 1 while it
// works. Directions that lead in a loop or off the grid are an internal error.
// method.md 7.14.
[[nodiscard]] Accumulation accumulate(const FlowDirections& directions);

}  // namespace eaveshed
