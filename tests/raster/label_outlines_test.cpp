#include "eaveshed/raster/label_outlines.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/shape/measure.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

using testing::RandomNumbers;

constexpr std::uint32_t kOther = 0xFFFFFFFFU;

// Cells of 2 x 3 from (10, 100) downwards.
Grid grid_of_cells(std::int64_t rows, std::int64_t cols) {
    return {10.0, 100.0, 2.0, 3.0, rows, cols};
}

std::vector<MultiPolygon> outlines_of(const std::vector<std::uint32_t>& labels, const Grid& grid, std::size_t count) {
    return label_outlines(labels, grid, count);
}

TEST(LabelOutlines, RunAlongTheSidesOfCells) {
    const auto outlines = outlines_of({0, 0, 1,  //
                                       0, kOther, 1},
                                      grid_of_cells(2, 3), 2);
    ASSERT_EQ(outlines.size(), 2U);
    ASSERT_EQ(outlines[0].parts.size(), 1U);
    EXPECT_EQ(planar_area(outlines[0]), 3 * 6.0);
    EXPECT_EQ(outlines[0].parts[0].outer.size(), 7U);  // an L, closed
    EXPECT_EQ(outlines[0].parts[0].outer.front(), outlines[0].parts[0].outer.back());
    EXPECT_EQ(planar_area(outlines[1]), 2 * 6.0);
    const Box box = bounds(outlines[1]);
    EXPECT_EQ(box.x_min, 14.0);
    EXPECT_EQ(box.x_max, 16.0);
    EXPECT_EQ(box.y_min, 94.0);
    EXPECT_EQ(box.y_max, 100.0);
}

TEST(LabelOutlines, HaveHoles) {
    const auto outlines = outlines_of({0, 0, 0,  //
                                       0, 1, 0,  //
                                       0, 0, 0},
                                      grid_of_cells(3, 3), 2);
    ASSERT_EQ(outlines[0].parts.size(), 1U);
    EXPECT_EQ(outlines[0].parts[0].holes.size(), 1U);
    EXPECT_EQ(planar_area(outlines[0]), 8 * 6.0);
    EXPECT_FALSE(contains(outlines[0], {13.0, 95.5}));
    EXPECT_TRUE(contains(outlines[1], {13.0, 95.5}));
}

TEST(LabelOutlines, KeepApartWhatMeetsAtACorner) {
    const auto outlines = outlines_of({0, 1,  //
                                       1, 0},
                                      grid_of_cells(2, 2), 2);
    EXPECT_EQ(outlines[0].parts.size(), 2U);
    EXPECT_EQ(outlines[1].parts.size(), 2U);
    for (const Polygon& part : outlines[0].parts) {
        EXPECT_EQ(planar_area({{part}}), 6.0);
    }
}

TEST(LabelOutlines, LeaveOtherLabelsOutAndAreEmptyWithoutACell) {
    const auto outlines = outlines_of({5, 5, 0, 3, kOther, kOther - 1}, grid_of_cells(2, 3), 3);
    ASSERT_EQ(outlines.size(), 3U);
    EXPECT_EQ(planar_area(outlines[0]), 6.0);
    EXPECT_TRUE(outlines[1].empty());
    EXPECT_TRUE(outlines[2].empty());
    EXPECT_TRUE(outlines_of({0}, grid_of_cells(1, 1), 0).empty());
}

TEST(LabelOutlines, NeedALabelForEachCell) {
    EXPECT_THROW(static_cast<void>(outlines_of({0, 0}, grid_of_cells(2, 2), 1)), Error);
}

// Whole regions and scattered cells: holes that touch, islands in holes, corners.
TEST(LabelOutlines, HoldTheirCellsAndNoOthers) {
    RandomNumbers random(61);
    for (int i = 0; i < 120 && !::testing::Test::HasFailure(); ++i) {
        const Grid grid = grid_of_cells(random.whole(1, 30), random.whole(1, 30));
        const int count = random.whole(1, 4);
        const double alike = random.between(0.0, 0.95);  // as the cell to the west
        std::vector<std::uint32_t> labels;
        for (std::int64_t k = 0; k < grid.rows * grid.cols; ++k) {
            labels.push_back(k > 0 && random.chance(alike) ? labels.back()
                             : random.chance(0.1)          ? kOther
                                                           : static_cast<std::uint32_t>(random.whole(0, count - 1)));
        }
        const auto outlines = label_outlines(labels, grid, static_cast<std::size_t>(count));
        std::vector<double> areas(static_cast<std::size_t>(count), 0.0);
        for (std::size_t k = 0; k < labels.size(); ++k) {
            const auto at = static_cast<std::int64_t>(k);
            const Point centre = grid.centre({at / grid.cols, at % grid.cols});
            for (std::uint32_t label = 0; label < outlines.size(); ++label) {
                EXPECT_EQ(contains(outlines[label], centre), labels[k] == label);
            }
            if (labels[k] != kOther) {
                areas[labels[k]] += 6.0;
            }
        }
        for (std::size_t label = 0; label < outlines.size(); ++label) {
            EXPECT_EQ(planar_area(outlines[label]), areas[label]);
        }
    }
}

}  // namespace
}  // namespace eaveshed
