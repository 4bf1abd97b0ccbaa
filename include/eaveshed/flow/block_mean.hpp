// A finer grid averaged to a coarser one, piece by piece, so that the finer one never stands in memory.
#pragma once

#include <cstdint>
#include <memory_resource>
#include <span>
#include <vector>

#include "eaveshed/flow/surface.hpp"

namespace eaveshed {

// How many cells along a side make one of about `wanted_m`: floor(wanted / side), at least 1. One part in 1e9 is added
// before the floor. Both > 0.
[[nodiscard]] std::int64_t cells_averaged(double wanted_m, double side_m);

// How many cells of the finer grid make one of the coarser.
struct BlockSides {
    std::int64_t rows = 1;
    std::int64_t cols = 1;
};

// Blocks of cells counted from the raster's north-west corner; those along the south and east may be cut by its edge,
// and their cells then reach beyond it. A coarse cell is the mean of the valid cells of its block, added in double
// precision; a gap where none is valid. The finer cells come as rectangles in any order and are not kept: of a block
// that several of them share each leaves its sum, 32 bytes. These are added in the order of the rectangles' corners, so
// the order of arrival does not matter; and as a sum of Float32 in double precision is exact while their magnitudes lie
// less than about 2^22 apart, neither does how the ground was cut.
// method.md 7.14.
template <typename Number>
class BlockMean {
public:
    // `range`: the cells to average, whole blocks but for those that the raster's edge cuts. Anything else, or sides
    // below 1, is an internal error. `memory`: of the coarser grid and what is kept for it.
    BlockMean(const Grid& raster, const CellRange& range, BlockSides sides,
              std::pmr::memory_resource* memory = std::pmr::get_default_resource());

    // What one rectangle has of a block.
    struct Part {
        CellNumber cell = 0;  // of the coarser grid
        std::uint32_t count = 0;
        double sum_m = 0.0;
        std::int32_t row_begin = 0;  // of the rectangle
        std::int32_t col_begin = 0;
        bool whole = false;  // no other rectangle has any of it
    };
    struct Parts {
        std::int64_t cells = 0;  // of the finer grid
        std::vector<Part> list;
    };
    // Of cells inside the range, row-major; NaN is a gap. A wrong number of values is an internal error. Safe to ask
    // from several threads.
    [[nodiscard]] Parts parts_of(const CellRange& cells, std::span<const Number> elev_m) const;
    // Each cell of the range once.
    void add(const Parts& parts);
    // When all cells were given, else an internal error.
    [[nodiscard]] Surface<Number> take();

private:
    struct Sum {
        double elev_m = 0.0;
        std::uint32_t count = 0;
    };
    class Band;

    [[nodiscard]] static Number mean_of(const Sum& sum);

    CellRange m_range;
    BlockSides m_sides;
    Surface<Number> m_coarse;
    std::int64_t m_given = 0;        // cells
    std::pmr::vector<Part> m_parts;  // of blocks that rectangles share
};

extern template class BlockMean<float>;
extern template class BlockMean<double>;

}  // namespace eaveshed
