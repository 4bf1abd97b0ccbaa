// Gridded quantities in steps of time, held cell by cell: the whole series of one cell lies together, because a roof
// needs all steps of four cells. NaN is a missing value.
#pragma once

#include <algorithm>
#include <cstddef>
#include <span>
#include <utility>
#include <vector>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/grid.hpp"

namespace eaveshed {

// Where the cells of a field lie, and how long the series of each is.
struct FieldFrame {
    Grid grid;         // the whole raster
    CellRange window;  // the part that was read: all cells a roof of the basin can draw on
    std::size_t steps = 0;

    // Whether the cell lies in the window.
    [[nodiscard]] bool holds(Cell cell) const {
        return cell.row >= window.row_begin && cell.row < window.row_end && cell.col >= window.col_begin &&
               cell.col < window.col_end;
    }
};

// A field whose series can be asked for, whoever holds them. Safe to read from several threads at once.
class SeriesField : public FieldFrame {
public:
    virtual ~SeriesField() = default;
    // One value a step. A cell without a series here is a broken invariant.
    [[nodiscard]] virtual std::span<const double> series(Cell cell) const = 0;

protected:
    SeriesField() = default;
    explicit SeriesField(const FieldFrame& frame) : FieldFrame(frame) {}
    SeriesField(const SeriesField&) = default;
    SeriesField(SeriesField&&) = default;
    SeriesField& operator=(const SeriesField&) = default;
    SeriesField& operator=(SeriesField&&) = default;
};

// The series of every cell of the window.
class StepField final : public SeriesField {
public:
    StepField() = default;
    StepField(const FieldFrame& frame, std::vector<double> values_) : SeriesField(frame), values(std::move(values_)) {}

    std::vector<double> values;  // one series after another, row by row

    [[nodiscard]] std::span<const double> series(Cell cell) const override {
        if (!holds(cell)) {
            internal_error("a cell outside the part of the grid that was read");
        }
        const auto place =
            static_cast<std::size_t>((cell.row - window.row_begin) * window.cols() + (cell.col - window.col_begin));
        return {values.data() + place * steps, steps};
    }
};

// The series of some cells of the window: those that were added.
class SparseStepField final : public SeriesField {
public:
    explicit SparseStepField(const FieldFrame& frame) : SeriesField(frame) {}

    // The cells that have a series, ascending.
    [[nodiscard]] std::vector<Cell> cells() const {
        std::vector<Cell> cells;
        for (const HeldCell& held : m_cells) {
            cells.push_back(held.cell);
        }
        return cells;
    }
    [[nodiscard]] bool has_series(Cell cell) const { return is_at(position_of(cell), cell); }
    [[nodiscard]] std::span<const double> series(Cell cell) const override {
        const std::size_t position = position_of(cell);
        if (!is_at(position, cell)) {
            internal_error("a cell whose series was not brought into the field");
        }
        return {m_values.data() + m_cells[position].place * steps, steps};
    }
    // Brings in the series of one more cell of the window; another length or a cell that has one is a broken invariant.
    void add(Cell cell, std::span<const double> series_of_cell) {
        const std::size_t position = position_of(cell);
        if (!holds(cell) || is_at(position, cell) || series_of_cell.size() != steps) {
            internal_error("a series that does not belong into the field");
        }
        m_cells.insert(m_cells.begin() + static_cast<std::ptrdiff_t>(position), {cell, m_cells.size()});
        m_values.insert(m_values.end(), series_of_cell.begin(), series_of_cell.end());
    }

private:
    // A cell whose series is held, and which of the series that is.
    struct HeldCell {
        Cell cell;
        std::size_t place = 0;
    };

    // Where among the cells this one stands, or would.
    [[nodiscard]] std::size_t position_of(Cell cell) const {
        return static_cast<std::size_t>(std::ranges::lower_bound(m_cells, cell, {}, &HeldCell::cell) - m_cells.begin());
    }
    [[nodiscard]] bool is_at(std::size_t position, Cell cell) const {
        return position < m_cells.size() && m_cells[position].cell == cell;
    }

    std::vector<HeldCell> m_cells;  // ascending by cell
    std::vector<double> m_values;   // one series after another, in the order in which they came
};

}  // namespace eaveshed
