// A raster in memory whose cells have the values of a function.
#pragma once

#include <utility>
#include <vector>

#include "eaveshed/core/raster.hpp"
#include "eaveshed/shape/polygon.hpp"

namespace eaveshed::testing {

// `value(Point)` at each cell's centre. Every block is loaded.
template <typename Value>
SparseRaster cells(const Grid& grid, Value&& value) {
    SparseRaster raster(grid);
    for (const Cell block : raster.missing_blocks({0, grid.rows, 0, grid.cols})) {
        const CellRange range = raster.block_range(block);
        std::vector<double> values;
        for (std::int64_t row = range.row_begin; row < range.row_end; ++row) {
            for (std::int64_t col = range.col_begin; col < range.col_end; ++col) {
                values.push_back(value(grid.centre({row, col})));
            }
        }
        raster.put_block(block, std::move(values), false);
    }
    return raster;
}

inline MultiPolygon rectangle(double x, double y, double width, double height) {
    return {{{{{x, y}, {x + width, y}, {x + width, y + height}, {x, y + height}, {x, y}}, {}}}};
}

}  // namespace eaveshed::testing
