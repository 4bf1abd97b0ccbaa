// method.md 7.14: elevations averaged for routing.
#include "eaveshed/flow/block_mean.hpp"

#include <cmath>
#include <limits>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "eaveshed/core/error.hpp"
#include "flow/ground.hpp"

namespace eaveshed {
namespace {

using testing::ground;
using testing::kGap;

Surface<double> averaged(const Surface<double>& fine, std::int64_t rows, std::int64_t cols) {
    BlockMean<double> mean(fine.grid, fine.grid.cells(), {rows, cols});
    mean.add(mean.parts_of(fine.grid.cells(), fine.elev_m));
    return mean.take();
}

// Cell by cell in the order of the rows: what the pieces are held against.
std::vector<float> plain_means(const Surface<float>& fine, const CellRange& range, BlockSides sides) {
    std::vector<float> means;
    for (std::int64_t top = range.row_begin; top < range.row_end; top += sides.rows) {
        for (std::int64_t left = range.col_begin; left < range.col_end; left += sides.cols) {
            double sum = 0.0;
            int count = 0;
            for (std::int64_t row = top; row < std::min(top + sides.rows, range.row_end); ++row) {
                for (std::int64_t col = left; col < std::min(left + sides.cols, range.col_end); ++col) {
                    const float value = fine.elev_m.at(static_cast<std::size_t>(row * fine.grid.cols + col));
                    sum += std::isnan(value) ? 0.0 : static_cast<double>(value);
                    count += std::isnan(value) ? 0 : 1;
                }
            }
            means.push_back(count > 0 ? static_cast<float>(sum / count) : std::numeric_limits<float>::quiet_NaN());
        }
    }
    return means;
}

std::vector<float> cut(const Surface<float>& fine, const CellRange& range) {
    std::vector<float> values;
    for (std::int64_t row = range.row_begin; row < range.row_end; ++row) {
        for (std::int64_t col = range.col_begin; col < range.col_end; ++col) {
            values.push_back(fine.elev_m.at(static_cast<std::size_t>(row * fine.grid.cols + col)));
        }
    }
    return values;
}

TEST(BlockMean, IsTheMeanOfTheValidCellsOfEachBlock) {
    const Surface<double> coarse = averaged(ground({{1, 2, 5, 6, 100},  //
                                                    {3, 4, 7, kGap, 300},
                                                    {8, kGap, kGap, kGap, 20}}),
                                            2, 2);
    EXPECT_EQ(coarse.grid, (Grid{0.0, 3.0, 2.0, 2.0, 2, 3}));
    EXPECT_THAT(coarse.elev_m, ::testing::ElementsAre(2.5, 6.0, 200.0, 8.0, ::testing::IsNan(), 20.0));
}

TEST(BlockMean, OfSingleCellsIsTheGround) {
    const Surface<double> fine = ground({{1, 2}, {3, 4}});
    EXPECT_EQ(averaged(fine, 1, 1).elev_m, fine.elev_m);
    EXPECT_EQ(averaged(fine, 1, 1).grid, fine.grid);
}

TEST(BlockMean, TakesBlocksThatAreNotSquare) {
    EXPECT_THAT(averaged(ground({{1, 2, 3}, {5, 6, 7}}), 2, 3).elev_m, ::testing::ElementsAre(4.0));
    EXPECT_THAT(averaged(ground({{1, 2, 3}, {5, 6, 7}}), 1, 2).elev_m, ::testing::ElementsAre(1.5, 3.0, 5.5, 7.0));
}

TEST(BlockMean, KeepsTheMeanOfWholeBlocks) {
    testing::RandomNumbers random(9);
    Surface<double> fine{testing::plain_grid(12, 18), {}};
    double sum = 0.0;
    for (int i = 0; i < 12 * 18; ++i) {
        fine.elev_m.push_back(random.whole(0, 1000));
        sum += fine.elev_m.back();
    }
    double coarse_sum = 0.0;
    for (const double mean : averaged(fine, 3, 2).elev_m) {
        coarse_sum += mean * 6.0;
    }
    EXPECT_NEAR(coarse_sum, sum, 1e-8);
}

// Pieces of any size.
TEST(BlockMean, IsTheSameFromPiecesInAnyOrder) {
    testing::RandomNumbers random(4);
    Surface<float> fine{testing::plain_grid(83, 91), {}};
    for (int i = 0; i < 83 * 91; ++i) {
        fine.elev_m.push_back(random.whole(0, 30) == 0 ? std::numeric_limits<float>::quiet_NaN()
                                                       : static_cast<float>(random.between(-30.0, 2500.0)));
    }
    const BlockSides sides{10, 7};
    const CellRange range{10, 83, 14, 84};
    const std::vector<float> expected = plain_means(fine, range, sides);
    for (const std::int64_t side : {3, 16, 33, 200}) {
        std::vector<CellRange> pieces;
        for (std::int64_t row = 0; row < 83; row += side) {
            for (std::int64_t col = 0; col < 91; col += side) {
                pieces.push_back(CellRange{row, row + side, col, col + side}.common_with(range));
            }
        }
        std::erase_if(pieces, [](const CellRange& piece) { return piece.empty(); });
        for (std::size_t i = pieces.size(); i > 1; --i) {
            std::swap(pieces[i - 1], pieces[static_cast<std::size_t>(random.whole(0, static_cast<int>(i) - 1))]);
        }
        BlockMean<float> mean(fine.grid, range, sides);
        for (const CellRange& piece : pieces) {
            mean.add(mean.parts_of(piece, cut(fine, piece)));
        }
        const Surface<float> coarse = mean.take();
        EXPECT_EQ(coarse.grid, (Grid{14.0, 73.0, 7.0, 10.0, 8, 10}));
        EXPECT_THAT(coarse.elev_m, ::testing::Pointwise(::testing::NanSensitiveFloatEq(), expected));
        for (std::size_t i = 0; i < expected.size(); ++i) {
            EXPECT_TRUE(coarse.elev_m[i] == expected[i] || std::isnan(expected[i]));
        }
    }
}

TEST(BlockMean, RefusesCellsThatAreNotTheRanges) {
    const Grid grid = testing::plain_grid(2, 3);
    BlockMean<float> mean(grid, grid.cells(), {2, 2});
    const std::vector<float> row(3, 1.0F);
    EXPECT_THROW(static_cast<void>(mean.parts_of({0, 1, 0, 3}, std::span(row).first(2))), Error);
    EXPECT_THROW(static_cast<void>(mean.parts_of({2, 3, 0, 3}, row)), Error);
    mean.add(mean.parts_of({0, 1, 0, 3}, row));
    EXPECT_THROW(static_cast<void>(mean.take()), Error);
    EXPECT_THROW(BlockMean<float>(grid, grid.cells(), {0, 2}), Error);
    EXPECT_THROW(BlockMean<float>(grid, {0, 1, 0, 3}, {2, 2}), Error);  // half a block
    EXPECT_THROW(BlockMean<float>(grid, {0, 2, 1, 3}, {2, 2}), Error);
}

TEST(CellsAveraged, AreAsManyAsFit) {
    EXPECT_EQ(cells_averaged(10.0, 1.0), 10);
    EXPECT_EQ(cells_averaged(10.0, 3.0), 3);
    EXPECT_EQ(cells_averaged(10.0, 0.10000000000000002), 100);  // a side that came out of a file
    EXPECT_EQ(cells_averaged(1.0, 30.0), 1);
    EXPECT_THROW(static_cast<void>(cells_averaged(0.0, 1.0)), Error);
}

}  // namespace
}  // namespace eaveshed
