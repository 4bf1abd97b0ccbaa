// Grid arithmetic: the only place that knows how rows and columns lie.
//
// A grid is north-up: row 0 is the northernmost row, column 0 the westernmost column. Files stored otherwise are turned
// at the door (io). Coordinates are those of the raster's CRS: x to the east, y to the north, in the CRS's own unit.
// A cell is an area; its value stands at its centre.
#pragma once

#include <array>
#include <cstdint>
#include <optional>

namespace eaveshed {

struct Point {
    double x = 0.0;
    double y = 0.0;
    friend bool operator==(const Point&, const Point&) = default;
};

struct Cell {
    std::int64_t row = 0;
    std::int64_t col = 0;
    friend auto operator<=>(const Cell&, const Cell&) = default;
};

// An axis-parallel box, in the unit of some CRS. Empty when min exceeds max.
struct Box {
    double x_min = 0.0;
    double y_min = 0.0;
    double x_max = -1.0;
    double y_max = -1.0;

    [[nodiscard]] bool empty() const { return !(x_min <= x_max && y_min <= y_max); }
    [[nodiscard]] bool intersects(const Box& other) const {
        return x_min <= other.x_max && other.x_min <= x_max && y_min <= other.y_max && other.y_min <= y_max;
    }
    [[nodiscard]] Box grown(double dx, double dy) const { return {x_min - dx, y_min - dy, x_max + dx, y_max + dy}; }
    [[nodiscard]] Point middle() const { return {(x_min + x_max) / 2.0, (y_min + y_max) / 2.0}; }
    // Grows to hold the point or the other box; an empty box takes it over.
    void add(Point point);
    void add(const Box& other);
};

// A rectangle of cells, half open: rows [row_begin, row_end), columns [col_begin, col_end).
struct CellRange {
    std::int64_t row_begin = 0;
    std::int64_t row_end = 0;
    std::int64_t col_begin = 0;
    std::int64_t col_end = 0;

    [[nodiscard]] bool empty() const { return row_begin >= row_end || col_begin >= col_end; }
    [[nodiscard]] std::int64_t rows() const { return row_end - row_begin; }
    [[nodiscard]] std::int64_t cols() const { return col_end - col_begin; }
    [[nodiscard]] bool holds(Cell cell) const {
        return cell.row >= row_begin && cell.row < row_end && cell.col >= col_begin && cell.col < col_end;
    }
    // The cells that both have; where they have none, it is empty and begins where the later one does.
    [[nodiscard]] CellRange common_with(const CellRange& other) const;
    [[nodiscard]] CellRange grown(std::int64_t cells) const {
        return {row_begin - cells, row_end + cells, col_begin - cells, col_end + cells};
    }
    // The same cells counted from `corner`.
    [[nodiscard]] CellRange seen_from(Cell corner) const {
        return {row_begin - corner.row, row_end - corner.row, col_begin - corner.col, col_end - corner.col};
    }
    // The edges, x along the columns and y along the rows.
    [[nodiscard]] Box edges() const;
    friend bool operator==(const CellRange&, const CellRange&) = default;
};

// Invariant: cell_width > 0, cell_height > 0, rows > 0, cols > 0.
struct Grid {
    double x_min = 0.0;        // western edge of column 0
    double y_max = 0.0;        // northern edge of row 0
    double cell_width = 1.0;   // along x
    double cell_height = 1.0;  // along y
    std::int64_t rows = 0;
    std::int64_t cols = 0;

    [[nodiscard]] double x_max() const { return x_min + cell_width * static_cast<double>(cols); }
    [[nodiscard]] double y_min() const { return y_max - cell_height * static_cast<double>(rows); }
    [[nodiscard]] double smaller_cell_side() const { return cell_width < cell_height ? cell_width : cell_height; }
    [[nodiscard]] Box extent() const { return {x_min, y_min(), x_max(), y_max}; }
    [[nodiscard]] CellRange cells() const { return {0, rows, 0, cols}; }
    [[nodiscard]] Point centre(Cell cell) const {
        return {x_min + (static_cast<double>(cell.col) + 0.5) * cell_width,
                y_max - (static_cast<double>(cell.row) + 0.5) * cell_height};
    }
    // Position in cell units, unclamped; whole numbers at cell centres.
    [[nodiscard]] double col_position(double x) const { return (x - x_min) / cell_width - 0.5; }
    [[nodiscard]] double row_position(double y) const { return (y_max - y) / cell_height - 0.5; }
    // The cell that holds the point, of two the one to the south or east; none outside the extent.
    [[nodiscard]] std::optional<Cell> cell_at(Point point) const;
    // Inside the extent, edges included.
    [[nodiscard]] bool holds(Point point) const;
    [[nodiscard]] bool holds(Cell cell) const {
        return cell.row >= 0 && cell.row < rows && cell.col >= 0 && cell.col < cols;
    }
    // All cells whose centre lies in the box, and one more on each side, cut to the grid: with them every point of the
    // box that the grid holds can be interpolated.
    [[nodiscard]] CellRange cells_around(const Box& box) const;
    friend bool operator==(const Grid&, const Grid&) = default;
};

// The four cells around a point with their bilinear weights; order NW, NE, SW, SE. Weights sum to 1.
struct BilinearStencil {
    std::array<Cell, 4> cells;
    std::array<double, 4> weights;
};

// Bilinear interpolation between cell centres (EPSG coordinate operation method 9658 states the formula). A point
// inside the extent but outside the outer centres is clamped to them; outside the extent there is none.
// method.md 0.6.
[[nodiscard]] std::optional<BilinearStencil> bilinear_stencil(const Grid& grid, Point point);

// The same place one turn round the earth away, where that and not the point itself lies within a grid in degrees:
// grids run from 0 to 360 as well as from -180 to 180.
[[nodiscard]] Point turned_into(const Grid& degrees, Point point);

// The weighted mean of the four values in the stencil's order. NaN is a missing cell: it drops out and the other
// weights are scaled up to sum to 1. Where no weight is left the result is NaN.
// method.md 0.6.
[[nodiscard]] double bilinear_value(const std::array<double, 4>& values, const std::array<double, 4>& weights);

}  // namespace eaveshed
