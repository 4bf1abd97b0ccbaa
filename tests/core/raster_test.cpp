#include "eaveshed/core/raster.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <utility>
#include <vector>

#include "../support/random_numbers.hpp"
#include "eaveshed/core/error.hpp"
#include "support/plain_values.hpp"

namespace eaveshed {
namespace {

using testing::kNaN;

using testing::RandomNumbers;

double value_at(std::int64_t row, std::int64_t col) {
    return static_cast<double>(row * 1000 + col);
}

Grid wide_grid() {
    return {.x_min = 100.0, .y_max = 900.0, .cell_width = 2.0, .cell_height = 3.0, .rows = 300, .cols = 260};
}

// Loads what the range needs; every cell's value tells its place.
void load(SparseRaster& raster, const CellRange& range) {
    for (const Cell& block : raster.missing_blocks(range)) {
        const CellRange cells = raster.block_range(block);
        std::vector<double> values;
        for (std::int64_t row = cells.row_begin; row < cells.row_end; ++row) {
            for (std::int64_t col = cells.col_begin; col < cells.col_end; ++col) {
                values.push_back(value_at(row, col));
            }
        }
        raster.put_block(block, std::move(values), false);
    }
}

TEST(SparseRaster, AsksForTheBlocksThatARangeTouchesOnce) {
    SparseRaster raster(wide_grid());
    const CellRange range{120, 260, 127, 129};
    const std::vector<Cell> wanted{{0, 0}, {0, 1}, {1, 0}, {1, 1}, {2, 0}, {2, 1}};
    EXPECT_EQ(raster.missing_blocks(range), wanted);
    EXPECT_EQ(raster.missing_blocks({0, 128, 0, 128}), (std::vector<Cell>{{0, 0}}));
    EXPECT_TRUE(raster.missing_blocks({}).empty());
    load(raster, range);
    EXPECT_EQ(raster.block_count(), 6U);
    EXPECT_TRUE(raster.missing_blocks(range).empty());
    EXPECT_EQ(raster.missing_blocks({0, 300, 0, 260}).size(), 3U);
}

TEST(SparseRaster, BlocksAreCutToTheGrid) {
    const SparseRaster raster(wide_grid());
    EXPECT_EQ(raster.block_range({0, 0}), (CellRange{0, 128, 0, 128}));
    EXPECT_EQ(raster.block_range({2, 2}), (CellRange{256, 300, 256, 260}));
}

TEST(SparseRaster, ABlockOfTheWrongSizeIsABrokenInvariant) {
    SparseRaster raster(wide_grid());
    EXPECT_THROW(raster.put_block({2, 2}, std::vector<double>(128 * 128), false), Error);
}

TEST(SparseRaster, GivesEveryCellItsOwnValueAndNothingOutsideTheGrid) {
    SparseRaster raster(wide_grid());
    load(raster, {0, 300, 0, 260});
    for (std::int64_t row = 0; row < 300; ++row) {
        for (std::int64_t col = 0; col < 260; ++col) {
            ASSERT_EQ(raster.at(row, col), value_at(row, col));
        }
    }
    EXPECT_TRUE(std::isnan(raster.at(-1, 0)));
    EXPECT_TRUE(std::isnan(raster.at(300, 0)));
    EXPECT_TRUE(std::isnan(raster.at(0, 260)));
}

TEST(SparseRaster, ReadingWhatWasNotLoadedIsABrokenInvariant) {
    SparseRaster raster(wide_grid());
    load(raster, {0, 10, 0, 10});
    EXPECT_THROW((void)raster.at(0, 128), Error);
    EXPECT_THROW((void)raster.patch({0, 10, 120, 130}), Error);
    EXPECT_THROW((void)raster.damaged({0, 10, 120, 130}), Error);
}

TEST(SparseRaster, APatchOverBlockEdgesHoldsTheSameCells) {
    SparseRaster raster(wide_grid());
    load(raster, {0, 300, 0, 260});
    RandomNumbers random(3);
    for (int i = 0; i < 50; ++i) {
        const std::int64_t row = random.whole(0, 299);
        const std::int64_t col = random.whole(0, 259);
        const CellRange range{row, random.whole(static_cast<int>(row), 300), col,
                              random.whole(static_cast<int>(col), 260)};
        const RasterPatch patch = raster.patch(range);
        if (range.empty()) {
            EXPECT_TRUE(patch.values.empty());
            continue;
        }
        for (std::int64_t r = range.row_begin; r < range.row_end; ++r) {
            for (std::int64_t c = range.col_begin; c < range.col_end; ++c) {
                ASSERT_EQ(patch.at(r, c), value_at(r, c));
            }
        }
        EXPECT_TRUE(std::isnan(patch.at(range.row_begin - 1, range.col_begin)));
        EXPECT_TRUE(std::isnan(patch.at(range.row_begin, range.col_end)));
    }
}

TEST(SparseRaster, SamplesBilinearlyAcrossBlockEdges) {
    SparseRaster raster(wide_grid());
    load(raster, {0, 300, 0, 260});
    // Values are linear in row and column, so the sample tells the position between the centres.
    RandomNumbers random(4);
    for (int i = 0; i < 2000; ++i) {
        const double row = random.between(120.0, 136.0);
        const double col = random.between(120.0, 136.0);
        const Point point{100.0 + (col + 0.5) * 2.0, 900.0 - (row + 0.5) * 3.0};
        EXPECT_NEAR(raster.sample(point), 1000.0 * row + col, 1e-6);
    }
    EXPECT_EQ(raster.sample({100.0, 900.0}), value_at(0, 0));
    EXPECT_TRUE(std::isnan(raster.sample({99.9, 900.0})));
}

TEST(SparseRaster, OnACentreAtABlockEdgeTheCellsAroundAreEnough) {
    SparseRaster raster(wide_grid());
    const Point point = raster.grid().centre({127, 127});
    load(raster, raster.grid().cells_around({point.x, point.y, point.x, point.y}));
    EXPECT_EQ(raster.sample(point), value_at(127, 127));
}

TEST(SparseRaster, MissingCellsDropOutOfTheSample) {
    const Grid grid{.x_min = 0.0, .y_max = 2.0, .cell_width = 1.0, .cell_height = 1.0, .rows = 2, .cols = 2};
    SparseRaster raster(grid);
    raster.put_block({0, 0}, {kNaN, 20.0, 30.0, 40.0}, false);
    EXPECT_DOUBLE_EQ(raster.sample({1.0, 1.0}), 30.0);
    EXPECT_TRUE(std::isnan(raster.sample({0.5, 1.5})));
    SparseRaster empty(grid);
    empty.put_block({0, 0}, {kNaN, kNaN, kNaN, kNaN}, false);
    EXPECT_TRUE(std::isnan(empty.sample({1.0, 1.0})));
}

TEST(SparseRaster, KnowsWhichRangesTouchADamagedBlock) {
    SparseRaster raster(wide_grid());
    load(raster, {0, 300, 0, 260});
    const CellRange cells = raster.block_range({1, 1});
    raster.put_block({1, 1}, std::vector<double>(static_cast<std::size_t>(cells.rows() * cells.cols()), kNaN), true);
    EXPECT_TRUE(raster.damaged({0, 300, 0, 260}));
    EXPECT_TRUE(raster.damaged({127, 129, 127, 129}));
    EXPECT_FALSE(raster.damaged({0, 128, 0, 260}));
    EXPECT_FALSE(raster.damaged({}));
    EXPECT_TRUE(std::isnan(raster.at(128, 128)));
}

}  // namespace
}  // namespace eaveshed
