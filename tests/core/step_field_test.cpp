#include "eaveshed/core/step_field.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <span>
#include <vector>

#include "eaveshed/core/error.hpp"

namespace eaveshed {
namespace {

// Rows 1..2 and columns 2..3 of a larger grid, three steps; the value tells cell and step.
StepField small_field() {
    StepField field;
    field.grid = {.x_min = 0.0, .y_max = 4.0, .cell_width = 1.0, .cell_height = 1.0, .rows = 4, .cols = 5};
    field.window = {.row_begin = 1, .row_end = 3, .col_begin = 2, .col_end = 4};
    field.steps = 3;
    for (int row = 1; row < 3; ++row) {
        for (int col = 2; col < 4; ++col) {
            for (int step = 0; step < 3; ++step) {
                field.values.push_back(100.0 * row + 10.0 * col + step);
            }
        }
    }
    return field;
}

TEST(StepField, GivesTheWholeSeriesOfACell) {
    const StepField field = small_field();
    const auto series = field.series({2, 3});
    ASSERT_EQ(series.size(), 3U);
    EXPECT_EQ(series[0], 230.0);
    EXPECT_EQ(series[2], 232.0);
}

TEST(StepField, KnowsWhichCellsItHolds) {
    const StepField field = small_field();
    EXPECT_TRUE(field.holds({1, 2}));
    EXPECT_FALSE(field.holds({0, 2}));
    EXPECT_FALSE(field.holds({1, 4}));
    EXPECT_THROW((void)field.series({3, 2}), Error);
}

SparseStepField sparse_field() {
    return SparseStepField(small_field());
}

TEST(SparseStepField, GivesTheSeriesThatWereAddedInWhateverOrder) {
    const StepField whole = small_field();
    SparseStepField field = sparse_field();
    for (const Cell cell : {Cell{2, 3}, Cell{1, 2}, Cell{2, 2}}) {
        EXPECT_FALSE(field.has_series(cell));
        field.add(cell, whole.series(cell));
    }
    for (const Cell cell : {Cell{1, 2}, Cell{2, 2}, Cell{2, 3}}) {
        EXPECT_TRUE(field.has_series(cell));
        EXPECT_TRUE(std::ranges::equal(field.series(cell), whole.series(cell)));
    }
    EXPECT_EQ(field.cells(), (std::vector<Cell>{{1, 2}, {2, 2}, {2, 3}}));
}

TEST(SparseStepField, HasNothingForACellThatWasNotAdded) {
    SparseStepField field = sparse_field();
    EXPECT_TRUE(field.holds({1, 3}));
    EXPECT_FALSE(field.has_series({1, 3}));
    EXPECT_THROW((void)field.series({1, 3}), Error);
    field.add({1, 2}, small_field().series({1, 2}));
    EXPECT_THROW((void)field.series({1, 3}), Error);
    EXPECT_THROW((void)field.series({0, 2}), Error);
}

TEST(SparseStepField, TakesASeriesOnceAndOnlyOneThatBelongsThere) {
    const std::vector<double> series{1.0, 2.0, 3.0};
    SparseStepField field = sparse_field();
    EXPECT_THROW(field.add({0, 2}, series), Error);  // outside the window
    EXPECT_THROW(field.add({1, 2}, std::span(series).first(2)), Error);
    field.add({1, 2}, series);
    EXPECT_THROW(field.add({1, 2}, series), Error);
}

}  // namespace
}  // namespace eaveshed
