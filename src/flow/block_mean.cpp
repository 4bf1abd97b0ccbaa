#include "eaveshed/flow/block_mean.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <tuple>
#include <utility>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

std::int64_t cells_averaged(double wanted_m, double side_m) {
    if (!(wanted_m > 0.0 && side_m > 0.0)) {
        internal_error("cells to average whose side is not above 0");
    }
    constexpr double kGuard = 1e-9;
    constexpr double kLargest = std::numeric_limits<std::int32_t>::max();
    return static_cast<std::int64_t>(std::clamp(std::floor(wanted_m / side_m + kGuard), 1.0, kLargest));
}

namespace {

bool whole(std::int64_t begin, std::int64_t end, std::int64_t side, std::int64_t all) {
    return begin % side == 0 && (end % side == 0 || end == all);
}

// Of the whole blocks that the range is made of.
Grid coarser(const Grid& raster, const CellRange& range, BlockSides sides) {
    if (sides.rows < 1 || sides.cols < 1 || range.empty() ||
        !whole(range.row_begin, range.row_end, sides.rows, raster.rows) ||
        !whole(range.col_begin, range.col_end, sides.cols, raster.cols)) {
        internal_error("cells to average that are no whole blocks");
    }
    Grid grid = raster;
    grid.x_min = raster.x_min + static_cast<double>(range.col_begin) * raster.cell_width;
    grid.y_max = raster.y_max - static_cast<double>(range.row_begin) * raster.cell_height;
    grid.cell_width *= static_cast<double>(sides.cols);
    grid.cell_height *= static_cast<double>(sides.rows);
    grid.rows = (range.rows() + sides.rows - 1) / sides.rows;
    grid.cols = (range.cols() + sides.cols - 1) / sides.cols;
    return grid;
}

// A rectangle's rows of one row of blocks, added up column by column, which takes several columns at once.
template <typename Number>
void add_columns(std::span<const Number> rows, std::span<double> sums) {
    std::ranges::fill(sums, 0.0);
    for (std::size_t first = 0; first < rows.size(); first += sums.size()) {
        const Number* const row = rows.data() + first;
        for (std::size_t col = 0; col < sums.size(); ++col) {
            sums[col] += static_cast<double>(row[col]);
        }
    }
}

}  // namespace

template <typename Number>
BlockMean<Number>::BlockMean(const Grid& raster, const CellRange& range, BlockSides sides,
                             std::pmr::memory_resource* memory)
    : m_range(range),
      m_sides(sides),
      m_coarse{coarser(raster, range, sides), std::pmr::vector<Number>(memory)},
      m_parts(memory) {
    const Grid& grid = m_coarse.grid;
    m_coarse.elev_m.resize(static_cast<std::size_t>(grid.rows * grid.cols), std::numeric_limits<Number>::quiet_NaN());
}

template <typename Number>
Number BlockMean<Number>::mean_of(const Sum& sum) {
    return sum.count > 0 ? static_cast<Number>(sum.elev_m / static_cast<double>(sum.count))
                         : std::numeric_limits<Number>::quiet_NaN();
}

// The rows of a rectangle that belong to one row of blocks.
template <typename Number>
class BlockMean<Number>::Band {
public:
    Band(std::span<const Number> rows, std::span<double> sums) : m_rows(rows), m_sums(sums) { add_columns(rows, sums); }

    // Of columns counted from the rectangle's first.
    [[nodiscard]] Sum sum(std::size_t begin, std::size_t end) const {
        Sum all;
        for (std::size_t col = begin; col < end; ++col) {
            all.elev_m += m_sums[col];
        }
        all.count = static_cast<std::uint32_t>((end - begin) * (m_rows.size() / m_sums.size()));
        return std::isnan(all.elev_m) ? sum_of_valid(begin, end) : all;
    }

private:
    [[nodiscard]] Sum sum_of_valid(std::size_t begin, std::size_t end) const {
        Sum all;
        for (std::size_t first = 0; first < m_rows.size(); first += m_sums.size()) {
            for (const Number elev_m : m_rows.subspan(first + begin, end - begin)) {
                if (!std::isnan(elev_m)) {
                    all.elev_m += static_cast<double>(elev_m);
                    ++all.count;
                }
            }
        }
        return all;
    }

    std::span<const Number> m_rows;
    std::span<double> m_sums;
};

template <typename Number>
auto BlockMean<Number>::parts_of(const CellRange& cells, std::span<const Number> elev_m) const -> Parts {
    if (!(cells.common_with(m_range) == cells) ||
        static_cast<std::int64_t>(elev_m.size()) != cells.rows() * cells.cols()) {
        internal_error("cells to average that do not belong to the range");
    }
    const auto width = static_cast<std::size_t>(cells.cols());
    std::vector<double> sums(width);
    Parts parts{.cells = cells.rows() * cells.cols(), .list = {}};
    const auto block_end = [](std::int64_t at, std::int64_t side, std::int64_t end) {
        return std::min((at / side + 1) * side, end);
    };
    for (std::int64_t row = cells.row_begin, next_row = 0; row < cells.row_end; row = next_row) {
        next_row = block_end(row, m_sides.rows, cells.row_end);
        const bool all_rows = whole(row, next_row, m_sides.rows, m_range.row_end);
        const Band band(elev_m.subspan(static_cast<std::size_t>(row - cells.row_begin) * width,
                                       static_cast<std::size_t>(next_row - row) * width),
                        sums);
        const std::int64_t first = (row - m_range.row_begin) / m_sides.rows * m_coarse.grid.cols;
        for (std::int64_t col = cells.col_begin, next_col = 0; col < cells.col_end; col = next_col) {
            next_col = block_end(col, m_sides.cols, cells.col_end);
            const Sum sum = band.sum(static_cast<std::size_t>(col - cells.col_begin),
                                     static_cast<std::size_t>(next_col - cells.col_begin));
            parts.list.push_back({.cell = static_cast<CellNumber>(first + (col - m_range.col_begin) / m_sides.cols),
                                  .count = sum.count,
                                  .sum_m = sum.elev_m,
                                  .row_begin = static_cast<std::int32_t>(cells.row_begin),
                                  .col_begin = static_cast<std::int32_t>(cells.col_begin),
                                  .whole = all_rows && whole(col, next_col, m_sides.cols, m_range.col_end)});
        }
    }
    return parts;
}

template <typename Number>
void BlockMean<Number>::add(const Parts& parts) {
    for (const Part& part : parts.list) {
        if (part.whole) {
            m_coarse.elev_m[part.cell] = mean_of({part.sum_m, part.count});
        } else {
            m_parts.push_back(part);
        }
    }
    m_given += parts.cells;
}

template <typename Number>
Surface<Number> BlockMean<Number>::take() {
    if (m_given != m_range.rows() * m_range.cols()) {
        internal_error("an average taken before all cells were given");
    }
    std::ranges::sort(m_parts, {},
                      [](const Part& part) { return std::tuple(part.cell, part.row_begin, part.col_begin); });
    for (auto part = m_parts.begin(); part != m_parts.end();) {
        const CellNumber cell = part->cell;
        Sum sum;
        for (; part != m_parts.end() && part->cell == cell; ++part) {
            sum.elev_m += part->sum_m;
            sum.count += part->count;
        }
        m_coarse.elev_m[cell] = mean_of(sum);
    }
    m_parts.clear();
    m_parts.shrink_to_fit();
    return std::move(m_coarse);
}

template class BlockMean<float>;
template class BlockMean<double>;

}  // namespace eaveshed
