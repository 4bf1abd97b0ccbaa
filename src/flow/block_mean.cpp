#include "eaveshed/flow/block_mean.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
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

Grid coarser(const Grid& fine, std::int64_t rows, std::int64_t cols) {
    if (rows < 1 || cols < 1) {
        internal_error("blocks to average of no cells");
    }
    Grid grid = fine;
    grid.cell_width *= static_cast<double>(cols);
    grid.cell_height *= static_cast<double>(rows);
    grid.rows = (fine.rows + rows - 1) / rows;
    grid.cols = (fine.cols + cols - 1) / cols;
    return grid;
}

}  // namespace

template <typename Number>
BlockMean<Number>::BlockMean(const Grid& fine, std::int64_t rows, std::int64_t cols)
    : m_fine(fine), m_rows(rows), m_cols(cols), m_coarse{coarser(fine, rows, cols), {}} {
    const Grid& grid = m_coarse.grid;
    m_coarse.elev_m.reserve(static_cast<std::size_t>(grid.rows * grid.cols));
    m_sums.assign(static_cast<std::size_t>(grid.cols), 0.0);
    m_counts.assign(static_cast<std::size_t>(grid.cols), 0);
}

template <typename Number>
void BlockMean<Number>::add_row(std::span<const Number> elev_m) {
    if (static_cast<std::int64_t>(elev_m.size()) != m_fine.cols || m_given >= m_fine.rows) {
        internal_error("a row to average that does not belong to the grid");
    }
    const auto width = static_cast<std::size_t>(m_cols);
    for (std::size_t block = 0, first = 0; block < m_sums.size(); ++block, first += width) {
        const std::size_t end = std::min(first + width, elev_m.size());
        for (std::size_t col = first; col < end; ++col) {
            if (!std::isnan(elev_m[col])) {
                m_sums[block] += static_cast<double>(elev_m[col]);
                ++m_counts[block];
            }
        }
    }
    ++m_given;
    if (m_given % m_rows == 0 || m_given == m_fine.rows) {
        finish_blocks();
    }
}

template <typename Number>
void BlockMean<Number>::finish_blocks() {
    for (std::size_t block = 0; block < m_sums.size(); ++block) {
        const auto count = static_cast<double>(m_counts[block]);
        m_coarse.elev_m.push_back(count > 0.0 ? static_cast<Number>(m_sums[block] / count)
                                              : std::numeric_limits<Number>::quiet_NaN());
    }
    std::ranges::fill(m_sums, 0.0);
    std::ranges::fill(m_counts, 0);
}

template <typename Number>
Surface<Number> BlockMean<Number>::take() {
    if (m_given != m_fine.rows) {
        internal_error("an average taken before all rows were given");
    }
    return std::move(m_coarse);
}

template class BlockMean<float>;
template class BlockMean<double>;

}  // namespace eaveshed
