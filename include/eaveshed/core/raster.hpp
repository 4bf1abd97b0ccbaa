// Parts of a raster in memory. NaN is a missing cell: here and only here NaN means missing.
#pragma once

#include <cstdint>
#include <limits>
#include <unordered_map>
#include <vector>

#include "eaveshed/core/grid.hpp"

namespace eaveshed {

inline constexpr double kMissing = std::numeric_limits<double>::quiet_NaN();

// A rectangle of a raster, row-major. Rows and columns are those of the whole raster, so that nothing depends on which
// rectangle was cut.
struct RasterPatch {
    CellRange range;
    std::vector<double> values;  // range.rows() x range.cols()

    [[nodiscard]] double at(std::int64_t row, std::int64_t col) const {
        if (row < range.row_begin || row >= range.row_end || col < range.col_begin || col >= range.col_end) {
            return kMissing;
        }
        return values[static_cast<std::size_t>((row - range.row_begin) * range.cols() + (col - range.col_begin))];
    }
};

// The cells of a raster that one tile needs, as square blocks: a site may be wide or in several places, so a tile's
// need is no rectangle. Reading a cell of a block that was not loaded is a broken invariant.
class SparseRaster {
public:
    static constexpr std::int64_t kBlockSide = 128;  // cells; a memory and not a meaning: results do not depend on it

    SparseRaster() = default;
    explicit SparseRaster(const Grid& grid) : m_grid(grid) {}

    [[nodiscard]] const Grid& grid() const { return m_grid; }
    // Block corners (row / kBlockSide, col / kBlockSide) that the range touches and that are not loaded yet, row-major.
    [[nodiscard]] std::vector<Cell> missing_blocks(const CellRange& range) const;
    // The cells of a block, cut to the grid.
    [[nodiscard]] CellRange block_range(Cell block) const;
    // `values` row-major over block_range(block); bit `damaged` says that part of it could not be read (NaN there).
    void put_block(Cell block, std::vector<double> values, bool damaged);
    [[nodiscard]] std::size_t block_count() const { return m_blocks.size(); }

    // NaN outside the grid.
    [[nodiscard]] double at(std::int64_t row, std::int64_t col) const;
    // Bilinear value at a point of the raster's CRS; NaN outside the extent or where all four cells are missing.
    [[nodiscard]] double sample(Point point) const;
    [[nodiscard]] RasterPatch patch(const CellRange& range) const;
    // Whether any block that the range touches is damaged.
    [[nodiscard]] bool damaged(const CellRange& range) const;

private:
    struct Block {
        CellRange range;
        std::vector<double> values;
        bool damaged = false;
    };
    [[nodiscard]] const Block& block_of(std::int64_t row, std::int64_t col) const;
    [[nodiscard]] static std::uint64_t key(Cell block);

    Grid m_grid;
    std::unordered_map<std::uint64_t, Block> m_blocks;
};

}  // namespace eaveshed
