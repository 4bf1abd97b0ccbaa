// method.md 7.14: elevations averaged for routing.
#include "eaveshed/flow/block_mean.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "eaveshed/core/error.hpp"
#include "flow/ground.hpp"

namespace eaveshed {
namespace {

using testing::ground;
using testing::kGap;

Surface<double> averaged(const Surface<double>& fine, std::int64_t rows, std::int64_t cols) {
    BlockMean<double> mean(fine.grid, rows, cols);
    for (std::int64_t row = 0; row < fine.grid.rows; ++row) {
        mean.add_row(
            std::span(fine.elev_m)
                .subspan(static_cast<std::size_t>(row * fine.grid.cols), static_cast<std::size_t>(fine.grid.cols)));
    }
    return mean.take();
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

TEST(BlockMean, RefusesRowsThatAreNotTheGrids) {
    BlockMean<float> mean(testing::plain_grid(2, 3), 2, 2);
    const std::vector<float> row(3, 1.0F);
    EXPECT_THROW(mean.add_row(std::span(row).first(2)), Error);
    mean.add_row(row);
    EXPECT_THROW(static_cast<void>(mean.take()), Error);
    mean.add_row(row);
    EXPECT_THROW(mean.add_row(row), Error);
    EXPECT_THROW(BlockMean<float>(testing::plain_grid(2, 3), 0, 2), Error);
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
