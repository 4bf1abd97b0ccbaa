// How a raster file is cut into blocks.
#pragma once

#include <algorithm>
#include <cstdint>

#include "eaveshed/core/grid.hpp"

namespace eaveshed {

// A raster cut into blocks of one size, numbered row-major in the file's own order of rows. Those at the right and
// lower edge reach beyond the raster.
struct BlockShape {
    std::int64_t rows = 0;  // of the raster
    std::int64_t cols = 0;
    std::int64_t block_rows = 1;
    std::int64_t block_cols = 1;

    [[nodiscard]] std::int64_t blocks_across() const { return (cols + block_cols - 1) / block_cols; }
    [[nodiscard]] std::int64_t cells() const { return block_rows * block_cols; }  // of a block
    // A block's cells in the file's rows and columns, cut to the raster.
    [[nodiscard]] CellRange range_of(std::uint64_t block) const {
        const std::int64_t top = static_cast<std::int64_t>(block) / blocks_across() * block_rows;
        const std::int64_t left = static_cast<std::int64_t>(block) % blocks_across() * block_cols;
        return {top, std::min(top + block_rows, rows), left, std::min(left + block_cols, cols)};
    }
    friend bool operator==(const BlockShape&, const BlockShape&) = default;
};

// Calls `visit(block)` for each block that a range of the file's rows and columns, inside the raster, touches.
template <typename Visit>
void for_each_block(const BlockShape& shape, const CellRange& range, const Visit& visit) {
    for (std::int64_t row = range.row_begin / shape.block_rows; row * shape.block_rows < range.row_end; ++row) {
        for (std::int64_t col = range.col_begin / shape.block_cols; col * shape.block_cols < range.col_end; ++col) {
            visit(static_cast<std::uint64_t>(row * shape.blocks_across() + col));
        }
    }
}

}  // namespace eaveshed
