#include "eaveshed/core/raster.hpp"

#include <algorithm>
#include <utility>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

std::uint64_t SparseRaster::key(Cell block) {
    return (static_cast<std::uint64_t>(block.row) << 32U) | static_cast<std::uint64_t>(block.col);
}

std::vector<Cell> SparseRaster::missing_blocks(const CellRange& range) const {
    std::vector<Cell> missing;
    if (range.empty()) {
        return missing;
    }
    for (std::int64_t row = range.row_begin / kBlockSide; row <= (range.row_end - 1) / kBlockSide; ++row) {
        for (std::int64_t col = range.col_begin / kBlockSide; col <= (range.col_end - 1) / kBlockSide; ++col) {
            if (!m_blocks.contains(key({row, col}))) {
                missing.push_back({row, col});
            }
        }
    }
    return missing;
}

CellRange SparseRaster::block_range(Cell block) const {
    return {block.row * kBlockSide, std::min((block.row + 1) * kBlockSide, m_grid.rows), block.col * kBlockSide,
            std::min((block.col + 1) * kBlockSide, m_grid.cols)};
}

void SparseRaster::put_block(Cell block, std::vector<double> values, bool damaged) {
    const CellRange range = block_range(block);
    if (static_cast<std::int64_t>(values.size()) != range.rows() * range.cols()) {
        internal_error("a raster block of the wrong size");
    }
    m_blocks.insert_or_assign(key(block), Block{range, std::move(values), damaged});
}

const SparseRaster::Block& SparseRaster::block_of(std::int64_t row, std::int64_t col) const {
    const auto found = m_blocks.find(key({row / kBlockSide, col / kBlockSide}));
    if (found == m_blocks.end()) {
        internal_error("a raster cell was asked for that the tile did not load");
    }
    return found->second;
}

double SparseRaster::at(std::int64_t row, std::int64_t col) const {
    if (!m_grid.holds(Cell{row, col})) {
        return std::numeric_limits<double>::quiet_NaN();
    }
    const Block& block = block_of(row, col);
    return block.values[static_cast<std::size_t>((row - block.range.row_begin) * block.range.cols() +
                                                 (col - block.range.col_begin))];
}

double SparseRaster::sample(Point point) const {
    const auto stencil = bilinear_stencil(m_grid, point);
    if (!stencil) {
        return std::numeric_limits<double>::quiet_NaN();
    }
    std::array<double, 4> values{};
    for (std::size_t i = 0; i < 4; ++i) {
        values[i] = at(stencil->cells[i].row, stencil->cells[i].col);
    }
    return bilinear_value(values, stencil->weights);
}

RasterPatch SparseRaster::patch(const CellRange& range) const {
    RasterPatch patch{range, {}};
    if (range.empty()) {
        return patch;
    }
    patch.values.reserve(static_cast<std::size_t>(range.rows() * range.cols()));
    for (std::int64_t row = range.row_begin; row < range.row_end; ++row) {
        for (std::int64_t col = range.col_begin; col < range.col_end;) {
            const Block& block = block_of(row, col);
            const std::int64_t end = std::min(block.range.col_end, range.col_end);
            const double* in =
                block.values.data() + (row - block.range.row_begin) * block.range.cols() - block.range.col_begin;
            patch.values.insert(patch.values.end(), in + col, in + end);
            col = end;
        }
    }
    return patch;
}

bool SparseRaster::damaged(const CellRange& range) const {
    if (range.empty()) {
        return false;
    }
    for (std::int64_t row = range.row_begin / kBlockSide; row <= (range.row_end - 1) / kBlockSide; ++row) {
        for (std::int64_t col = range.col_begin / kBlockSide; col <= (range.col_end - 1) / kBlockSide; ++col) {
            if (block_of(row * kBlockSide, col * kBlockSide).damaged) {
                return true;
            }
        }
    }
    return false;
}

}  // namespace eaveshed
