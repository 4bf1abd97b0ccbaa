#include "eaveshed/survey/sample_cells.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>

namespace eaveshed {
namespace {

std::size_t blocks_touched(const std::vector<CellRange>& cells, std::int64_t block) {
    std::set<std::pair<std::int64_t, std::int64_t>> blocks;
    for (const CellRange& range : cells) {
        for (std::int64_t row = range.row_begin; row < range.row_end; ++row) {
            for (std::int64_t col = range.col_begin; col < range.col_end; ++col) {
                blocks.emplace(row / block, col / block);
            }
        }
    }
    return blocks.size();
}

std::int64_t count(const std::vector<CellRange>& cells) {
    std::int64_t all = 0;
    for (const CellRange& range : cells) {
        all += range.rows() * range.cols();
    }
    return all;
}

TEST(SampleCells, OfASmallGridAreAll) {
    EXPECT_EQ(sample_cells(200, 7, 256, 256), (std::vector<CellRange>{{0, 200, 0, 7}}));
}

TEST(SampleCells, OfALargeGridLieInOneBlockForEachWindowFromEndToEnd) {
    const auto cells = sample_cells(10'000, 10'000, 256, 256);
    EXPECT_EQ(cells.size(), 25U);
    EXPECT_EQ(blocks_touched(cells, 256), 25U);
    EXPECT_EQ(count(cells), kSampleSide * kSampleSide);
    EXPECT_EQ(cells.front().row_begin, 0);
    EXPECT_LE(10'000 - cells.back().row_end, 256);
    EXPECT_LE(10'000 - cells.back().col_end, 256);
}

TEST(SampleCells, StayInsideTheGridWhateverTheBlocks) {
    for (const std::int64_t block : {1, 3, 39, 40, 41, 255, 1000, 5000}) {
        for (const std::int64_t side : {201, 256, 1001}) {
            for (const CellRange& range : sample_cells(side, 90, block, side)) {
                EXPECT_GE(range.row_begin, 0) << block;
                EXPECT_LE(range.row_end, side) << block;
                EXPECT_EQ(range.rows(), kSampleSide / kSampleWindows);
                EXPECT_EQ(range.cols(), 90);
            }
        }
    }
}

}  // namespace
}  // namespace eaveshed
