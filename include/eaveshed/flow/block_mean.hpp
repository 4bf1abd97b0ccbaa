// A finer grid averaged to a coarser one, row by row, so that the finer one never stands in memory.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "eaveshed/flow/surface.hpp"

namespace eaveshed {

// How many cells along a side make one of about `wanted_m`: floor(wanted / side), at least 1. One part in 1e9 is added
// before the floor. Both > 0.
[[nodiscard]] std::int64_t cells_averaged(double wanted_m, double side_m);

// Blocks of `rows` x `cols` cells from the north-west corner; those along the south and east may be cut by the grid's
// edge, and their cells then reach beyond it. A coarse cell is the mean of the valid cells of its block, added in
// double precision along each row from the north-west; a gap where none is valid. One row of sums and one result are
// held.
// method.md 7.14.
template <typename Number>
class BlockMean {
public:
    // Block sides below 1 are an internal error.
    BlockMean(const Grid& fine, std::int64_t rows, std::int64_t cols);

    // The next row of the fine grid, from the north; NaN is a gap. One of the wrong length, or one too many, is an
    // internal error.
    void add_row(std::span<const Number> elev_m);
    // When all rows were given.
    [[nodiscard]] Surface<Number> take();

private:
    void finish_blocks();

    Grid m_fine;
    std::int64_t m_rows;
    std::int64_t m_cols;
    std::int64_t m_given = 0;
    Surface<Number> m_coarse;
    std::vector<double> m_sums;
    std::vector<std::int64_t> m_counts;
};

extern template class BlockMean<float>;
extern template class BlockMean<double>;

}  // namespace eaveshed
