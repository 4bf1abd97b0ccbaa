// The cells around a cell, by number.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>

#include "eaveshed/core/error.hpp"
#include "eaveshed/flow/surface.hpp"

namespace eaveshed {

class Neighbours {
public:
    explicit Neighbours(const Grid& grid) : m_rows(grid.rows), m_cols(grid.cols) {
        if (m_rows < 1 || m_cols < 1 || m_rows > kMostCells / m_cols) {
            internal_error("a surface without cells, or with more than are counted in 32 bits");
        }
        for (std::size_t way = 0; way < kWays.size(); ++way) {
            m_offsets[way] = kWays[way].row * m_cols + kWays[way].col;
        }
    }

    [[nodiscard]] std::size_t cells() const { return static_cast<std::size_t>(m_rows * m_cols); }
    [[nodiscard]] std::int64_t rows() const { return m_rows; }
    [[nodiscard]] std::int64_t cols() const { return m_cols; }
    [[nodiscard]] std::int64_t row_of(std::size_t cell) const { return static_cast<std::int64_t>(cell) / m_cols; }

    // The neighbour that way, which must be there.
    [[nodiscard]] std::size_t along(std::size_t cell, std::size_t way) const {
        return static_cast<std::size_t>(static_cast<std::int64_t>(cell) + m_offsets[way]);
    }
    [[nodiscard]] bool on_edge(std::size_t cell) const {
        const std::int64_t row = row_of(cell);
        const std::int64_t col = static_cast<std::int64_t>(cell) - row * m_cols;
        return row == 0 || row == m_rows - 1 || col == 0 || col == m_cols - 1;
    }
    // each(neighbour, way) for all eight of a cell that is not on the edge, in the order of the ways.
    template <typename Each>
    void visit_inner(std::size_t cell, Each&& each) const {
        for (std::size_t way = 0; way < kWays.size(); ++way) {
            each(along(cell, way), way);
        }
    }
    // The same for any cell: those that are there.
    template <typename Each>
    void visit(std::size_t cell, Each&& each) const {
        const std::int64_t row = row_of(cell);
        const std::int64_t col = static_cast<std::int64_t>(cell) - row * m_cols;
        for (std::size_t way = 0; way < kWays.size(); ++way) {
            const std::int64_t to_row = row + kWays[way].row;
            const std::int64_t to_col = col + kWays[way].col;
            if (to_row >= 0 && to_row < m_rows && to_col >= 0 && to_col < m_cols) {
                each(along(cell, way), way);
            }
        }
    }

private:
    static constexpr std::int64_t kMostCells = 0xFFFFFFFE;

    std::int64_t m_rows;
    std::int64_t m_cols;
    std::array<std::int64_t, 8> m_offsets{};
};

}  // namespace eaveshed
