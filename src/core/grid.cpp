#include "eaveshed/core/grid.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace eaveshed {

void Box::add(Point point) {
    add(Box{point.x, point.y, point.x, point.y});
}

void Box::add(const Box& other) {
    if (other.empty()) {
        return;
    }
    if (empty()) {
        *this = other;
        return;
    }
    x_min = std::min(x_min, other.x_min);
    y_min = std::min(y_min, other.y_min);
    x_max = std::max(x_max, other.x_max);
    y_max = std::max(y_max, other.y_max);
}

CellRange CellRange::common_with(const CellRange& other) const {
    CellRange range{std::max(row_begin, other.row_begin), std::min(row_end, other.row_end),
                    std::max(col_begin, other.col_begin), std::min(col_end, other.col_end)};
    range.row_end = std::max(range.row_begin, range.row_end);
    range.col_end = std::max(range.col_begin, range.col_end);
    return range;
}

Box CellRange::edges() const {
    return {static_cast<double>(col_begin), static_cast<double>(row_begin), static_cast<double>(col_end),
            static_cast<double>(row_end)};
}

bool Grid::holds(Point point) const {
    return point.x >= x_min && point.x <= x_max() && point.y >= y_min() && point.y <= y_max;
}

std::optional<Cell> Grid::cell_at(Point point) const {
    if (!holds(point)) {
        return std::nullopt;
    }
    const auto index = [](double position, std::int64_t count) {
        return std::clamp(static_cast<std::int64_t>(std::floor(position + 0.5)), std::int64_t{0}, count - 1);
    };
    return Cell{index(row_position(point.y), rows), index(col_position(point.x), cols)};
}

namespace {

// A cell index from a position, cut to [0, count] before the conversion so that no value is too large for it.
std::int64_t to_index(double position, std::int64_t count) {
    return static_cast<std::int64_t>(std::clamp(position, 0.0, static_cast<double>(count)));
}

struct IndexSpan {
    std::int64_t begin = 0;
    std::int64_t end = 0;
};

// One axis of cells_around: from the cell before the first position to the cell after the last. A position between the
// grid's edge and the outer centre is interpolated from the two outermost cells, so these belong to it (taken half a
// cell wider than that, for a position that rounding has put just outside the edge).
IndexSpan around(double first, double last, std::int64_t count) {
    const auto outermost = static_cast<double>(count - 1);
    if (last >= -1.0 && first <= outermost + 1.0) {
        first = std::min(first, outermost);
        last = std::max(last, 0.0);
    }
    return {to_index(std::ceil(first) - 1.0, count), to_index(std::floor(last) + 2.0, count)};
}

}  // namespace

CellRange Grid::cells_around(const Box& box) const {
    if (box.empty()) {
        return {};
    }
    const IndexSpan across = around(row_position(box.y_max), row_position(box.y_min), rows);
    const IndexSpan along = around(col_position(box.x_min), col_position(box.x_max), cols);
    return {across.begin, across.end, along.begin, along.end};
}

std::optional<BilinearStencil> bilinear_stencil(const Grid& grid, Point point) {
    if (!grid.holds(point)) {
        return std::nullopt;
    }
    const double row = std::clamp(grid.row_position(point.y), 0.0, static_cast<double>(grid.rows - 1));
    const double col = std::clamp(grid.col_position(point.x), 0.0, static_cast<double>(grid.cols - 1));
    const auto row0 = static_cast<std::int64_t>(std::floor(row));
    const auto col0 = static_cast<std::int64_t>(std::floor(col));
    const std::int64_t row1 = std::min(row0 + 1, grid.rows - 1);
    const std::int64_t col1 = std::min(col0 + 1, grid.cols - 1);
    const double down = row - static_cast<double>(row0);
    const double right = col - static_cast<double>(col0);
    return BilinearStencil{{Cell{row0, col0}, Cell{row0, col1}, Cell{row1, col0}, Cell{row1, col1}},
                           {(1.0 - down) * (1.0 - right), (1.0 - down) * right, down * (1.0 - right), down * right}};
}

Point turned_into(const Grid& degrees, Point point) {
    constexpr double kTurn = 360.0;
    for (const double turned : {point.x + kTurn, point.x - kTurn}) {
        if (!degrees.holds(point) && degrees.holds(Point{turned, point.y})) {
            return {turned, point.y};
        }
    }
    return point;
}

double bilinear_value(const std::array<double, 4>& values, const std::array<double, 4>& weights) {
    double sum = 0.0;
    double weight_sum = 0.0;
    bool all = true;
    for (std::size_t i = 0; i < 4; ++i) {
        if (std::isnan(values[i])) {
            all = false;
            continue;
        }
        sum += weights[i] * values[i];
        weight_sum += weights[i];
    }
    if (all) {
        return sum;
    }
    return weight_sum > 0.0 ? sum / weight_sum : std::numeric_limits<double>::quiet_NaN();
}

}  // namespace eaveshed
