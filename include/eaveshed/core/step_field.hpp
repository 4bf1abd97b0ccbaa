// A gridded quantity in steps of time, held cell by cell: the whole series of one cell lies together, because a roof
// needs all steps of four cells. NaN is a missing value.
#pragma once

#include <algorithm>
#include <cstddef>
#include <span>
#include <vector>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/grid.hpp"

namespace eaveshed {

// A cell whose series a sparse field holds, and which of its series that is.
struct HeldCell {
    Cell cell;
    std::size_t place = 0;
};

struct StepField {
    Grid grid;         // the whole raster
    CellRange window;  // the part that was read: all cells a roof of the basin can draw on
    std::size_t steps = 0;
    // The series one after another: of every cell of the window, row by row; of a sparse field those of `cells`.
    std::vector<double> values;
    bool sparse = false;               // the window's series are kept elsewhere, only some of them here
    std::vector<HeldCell> cells = {};  // of a sparse field, ascending by cell

    [[nodiscard]] bool given() const { return steps > 0; }
    // Whether the cell lies in the window.
    [[nodiscard]] bool holds(Cell cell) const {
        return cell.row >= window.row_begin && cell.row < window.row_end && cell.col >= window.col_begin &&
               cell.col < window.col_end;
    }
    // Whether its series can be asked for: in a sparse field only after `add`.
    [[nodiscard]] bool has_series(Cell cell) const { return sparse ? is_at(position_of(cell), cell) : holds(cell); }
    // A cell without a series here is a broken invariant.
    [[nodiscard]] std::span<const double> series(Cell cell) const {
        if (!holds(cell)) {
            internal_error("a cell outside the part of the grid that was read");
        }
        auto place =
            static_cast<std::size_t>((cell.row - window.row_begin) * window.cols() + (cell.col - window.col_begin));
        if (sparse) {
            const std::size_t position = position_of(cell);
            if (!is_at(position, cell)) {
                internal_error("a cell whose series was not brought into the field");
            }
            place = cells[position].place;
        }
        return {values.data() + place * steps, steps};
    }
    // Brings the series of one more cell of the window into a sparse field.
    void add(Cell cell, std::span<const double> series_of_cell) {
        const std::size_t position = position_of(cell);
        if (!sparse || !holds(cell) || is_at(position, cell) || series_of_cell.size() != steps) {
            internal_error("a series that does not belong into the field");
        }
        cells.insert(cells.begin() + static_cast<std::ptrdiff_t>(position), {cell, cells.size()});
        values.insert(values.end(), series_of_cell.begin(), series_of_cell.end());
    }

private:
    // Where among `cells` the cell stands, or would.
    [[nodiscard]] std::size_t position_of(Cell cell) const {
        return static_cast<std::size_t>(std::ranges::lower_bound(cells, cell, {}, &HeldCell::cell) - cells.begin());
    }
    [[nodiscard]] bool is_at(std::size_t position, Cell cell) const {
        return position < cells.size() && cells[position].cell == cell;
    }
};

}  // namespace eaveshed
