// Which cells of a grid are looked at: a few windows spread over it, so that of a large one few blocks are decoded.
#pragma once

#include <cstdint>
#include <vector>

#include "eaveshed/core/grid.hpp"

namespace eaveshed {

// All cells along a side of at most kSampleSide, else kSampleWindows pieces of it from end to end, each inside one
// block where blocks are as long as a piece. Both block sides are at least 1.
inline constexpr std::int64_t kSampleSide = 200;
inline constexpr std::int64_t kSampleWindows = 5;
[[nodiscard]] std::vector<CellRange> sample_cells(std::int64_t rows, std::int64_t cols, std::int64_t block_rows,
                                                  std::int64_t block_cols);

}  // namespace eaveshed
