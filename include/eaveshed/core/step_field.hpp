// A gridded quantity in steps of time, held cell by cell: the whole series of one cell lies together, because a roof
// needs all steps of four cells. NaN is a missing value.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/grid.hpp"

namespace eaveshed {

struct StepField {
    Grid grid;         // the whole raster
    CellRange window;  // the part held in memory: all cells a roof of the basin can draw on
    std::size_t steps = 0;
    std::vector<double> values;  // ((row - window.row_begin) * window.cols() + (col - window.col_begin)) * steps + step

    [[nodiscard]] bool given() const { return steps > 0; }
    [[nodiscard]] bool holds(Cell cell) const {
        return cell.row >= window.row_begin && cell.row < window.row_end && cell.col >= window.col_begin &&
               cell.col < window.col_end;
    }
    [[nodiscard]] std::span<const double> series(Cell cell) const {
        if (!holds(cell)) {
            internal_error("a cell outside the part of the grid that was read");
        }
        const auto index =
            static_cast<std::size_t>((cell.row - window.row_begin) * window.cols() + (cell.col - window.col_begin));
        return {values.data() + index * steps, steps};
    }
};

}  // namespace eaveshed
