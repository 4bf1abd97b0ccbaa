#include "eaveshed/core/grid.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <limits>

#include "../support/random_numbers.hpp"
#include "support/plain_values.hpp"

namespace eaveshed {
namespace {

using testing::kNaN;

using testing::RandomNumbers;

// A 2 x 2 grid whose cell centres are the four corners given.
Grid four_points(double west, double east, double south, double north) {
    const double width = east - west;
    const double height = north - south;
    return {.x_min = west - 0.5 * width,
            .y_max = north + 0.5 * height,
            .cell_width = width,
            .cell_height = height,
            .rows = 2,
            .cols = 2};
}

// `values` of the four cells of a 2 x 2 grid: NW, NE, SW, SE.
double interpolate(const Grid& grid, const std::array<double, 4>& values, Point point) {
    const auto stencil = bilinear_stencil(grid, point);
    if (!stencil) {
        return kNaN;
    }
    std::array<double, 4> around{};
    for (std::size_t i = 0; i < 4; ++i) {
        around[i] = values.at(static_cast<std::size_t>(stencil->cells[i].row * 2 + stencil->cells[i].col));
    }
    return bilinear_value(around, stencil->weights);
}

// R8.1: EPSG registry, example of coordinate operation method 9658 (read).
TEST(Grid, InterpolatesTheRegistrysExample) {
    const Grid grid = four_points(-98.50, -98.45, 29.45, 29.50);
    EXPECT_NEAR(interpolate(grid, {0.144, 0.132, 0.125, 0.121}, {-98.4803739, 29.4667897}), 0.129, 0.0005);
}

// R8.2: survey-engineering worked example (read).
TEST(Grid, InterpolatesTheSurveyorsExample) {
    const Grid grid = four_points(400.0, 500.0, 60.0, 80.0);
    EXPECT_NEAR(interpolate(grid, {169.0, 187.0, 149.0, 163.0}, {451.0, 75.0}), 172.67, 0.005);
}

// R8.3: derived, half-pixel guard: a cell is an area and its value stands at its centre.
TEST(Grid, TakesACellsValueAtItsCentre) {
    const Grid grid{.x_min = 0.0, .y_max = 2.0, .cell_width = 1.0, .cell_height = 1.0, .rows = 2, .cols = 2};
    const std::array<double, 4> values{10.0, 20.0, 30.0, 40.0};
    EXPECT_DOUBLE_EQ(interpolate(grid, values, {1.0, 1.0}), 25.0);
    EXPECT_DOUBLE_EQ(interpolate(grid, values, {0.5, 1.5}), 10.0);
    EXPECT_DOUBLE_EQ(interpolate(grid, values, {0.75, 1.5}), 12.5);
    EXPECT_DOUBLE_EQ(interpolate(grid, values, {0.25, 1.5}), 10.0);
}

TEST(Grid, ClampsToTheOuterCentresUpToTheEdgeAndNoFurther) {
    const Grid grid{.x_min = 0.0, .y_max = 2.0, .cell_width = 1.0, .cell_height = 1.0, .rows = 2, .cols = 2};
    const std::array<double, 4> values{10.0, 20.0, 30.0, 40.0};
    EXPECT_DOUBLE_EQ(interpolate(grid, values, {0.0, 2.0}), 10.0);
    EXPECT_DOUBLE_EQ(interpolate(grid, values, {2.0, 0.0}), 40.0);
    EXPECT_FALSE(bilinear_stencil(grid, {-1e-9, 1.0}));
    EXPECT_FALSE(bilinear_stencil(grid, {1.0, 2.0 + 1e-9}));
    EXPECT_FALSE(bilinear_stencil(grid, {kNaN, 1.0}));
}

TEST(Grid, MissingNeighboursDropOutAndTheOthersMakeUpForThem) {
    EXPECT_DOUBLE_EQ(bilinear_value({kNaN, 20.0, 30.0, 40.0}, {0.25, 0.25, 0.25, 0.25}), 30.0);
    EXPECT_DOUBLE_EQ(bilinear_value({kNaN, 20.0, kNaN, 40.0}, {0.1, 0.6, 0.1, 0.2}), 25.0);
    EXPECT_DOUBLE_EQ(bilinear_value({kNaN, kNaN, kNaN, 7.0}, {0.9, 0.05, 0.04, 0.01}), 7.0);
    EXPECT_TRUE(std::isnan(bilinear_value({kNaN, kNaN, kNaN, kNaN}, {0.25, 0.25, 0.25, 0.25})));
    // On the centre of a missing cell no weight is left for the others.
    EXPECT_TRUE(std::isnan(bilinear_value({kNaN, 1.0, 1.0, 1.0}, {1.0, 0.0, 0.0, 0.0})));
}

TEST(Grid, ReproducesAPlaneBetweenTheOuterCentres) {
    RandomNumbers random(8);
    const Grid grid{.x_min = 500.0, .y_max = 300.0, .cell_width = 4.0, .cell_height = 2.5, .rows = 9, .cols = 7};
    const auto plane = [](Point point) { return 3.0 + 0.08 * point.x - 0.06 * point.y; };
    for (int i = 0; i < 2000; ++i) {
        const Point point{random.between(502.0, 526.0), random.between(278.75, 298.75)};
        const auto stencil = bilinear_stencil(grid, point);
        ASSERT_TRUE(stencil);
        std::array<double, 4> values{};
        double weight_sum = 0.0;
        for (std::size_t k = 0; k < 4; ++k) {
            ASSERT_TRUE(grid.holds(stencil->cells[k]));
            values[k] = plane(grid.centre(stencil->cells[k]));
            weight_sum += stencil->weights[k];
        }
        EXPECT_NEAR(weight_sum, 1.0, 1e-14);
        EXPECT_NEAR(bilinear_value(values, stencil->weights), plane(point), 1e-11);
    }
}

TEST(Grid, InterpolatesInAGridOfOneCell) {
    const Grid grid{.x_min = 0.0, .y_max = 1.0, .cell_width = 1.0, .cell_height = 1.0, .rows = 1, .cols = 1};
    const auto stencil = bilinear_stencil(grid, {0.9, 0.1});
    ASSERT_TRUE(stencil);
    for (const Cell& cell : stencil->cells) {
        EXPECT_EQ(cell, (Cell{0, 0}));
    }
    EXPECT_DOUBLE_EQ(bilinear_value({5.0, 5.0, 5.0, 5.0}, stencil->weights), 5.0);
}

TEST(Grid, PositionsAreWholeAtCentres) {
    const Grid grid{.x_min = 10.0, .y_max = 20.0, .cell_width = 2.0, .cell_height = 4.0, .rows = 5, .cols = 6};
    EXPECT_EQ(grid.centre({0, 0}), (Point{11.0, 18.0}));
    EXPECT_EQ(grid.centre({4, 5}), (Point{21.0, 2.0}));
    EXPECT_EQ(grid.row_position(2.0), 4.0);
    EXPECT_EQ(grid.col_position(21.0), 5.0);
    EXPECT_EQ(grid.x_max(), 22.0);
    EXPECT_EQ(grid.y_min(), 0.0);
    EXPECT_EQ(grid.smaller_cell_side(), 2.0);
    EXPECT_TRUE(grid.holds(Point{10.0, 0.0}));
    EXPECT_TRUE(grid.holds(Point{22.0, 20.0}));
    EXPECT_FALSE(grid.holds(Point{22.1, 20.0}));
    EXPECT_FALSE(grid.holds(Cell{5, 0}));
    EXPECT_FALSE(grid.holds(Cell{0, -1}));
}

TEST(Grid, TheCellAtAPointHoldsIt) {
    const Grid grid{.x_min = 10.0, .y_max = 50.0, .cell_width = 2.0, .cell_height = 4.0, .rows = 5, .cols = 6};
    for (std::int64_t row = 0; row < grid.rows; ++row) {
        for (std::int64_t col = 0; col < grid.cols; ++col) {
            const Point centre = grid.centre({row, col});
            for (const double dx : {-0.99, 0.0, 0.99}) {
                for (const double dy : {-1.99, 0.0, 1.99}) {
                    EXPECT_EQ(grid.cell_at({centre.x + dx, centre.y + dy}), (Cell{row, col}));
                }
            }
        }
    }
    EXPECT_EQ(grid.cell_at({12.0, 46.0}), (Cell{1, 1}));                  // on a corner of four
    EXPECT_EQ(grid.cell_at({grid.x_max(), grid.y_min()}), (Cell{4, 5}));  // the edge still belongs to the grid
    EXPECT_FALSE(grid.cell_at({9.999, 40.0}));
    EXPECT_FALSE(grid.cell_at({15.0, 50.001}));
}

TEST(Grid, CellsAroundABoxAreItsCellsAndOneMoreOnEachSide) {
    const Grid grid{.x_min = 0.0, .y_max = 10.0, .cell_width = 1.0, .cell_height = 1.0, .rows = 10, .cols = 10};
    // Centres 3.5 .. 5.5 lie in the box, exactly at its edges.
    EXPECT_EQ(grid.cells_around({3.5, 4.5, 5.5, 6.5}), (CellRange{2, 7, 2, 7}));
    EXPECT_EQ(grid.cells_around({3.6, 4.4, 5.4, 6.6}), (CellRange{2, 7, 3, 6}));
    EXPECT_EQ(grid.cells_around({-5.0, -5.0, 50.0, 50.0}), (CellRange{0, 10, 0, 10}));
    EXPECT_TRUE(grid.cells_around(Box{}).empty());
    EXPECT_TRUE(grid.cells_around({20.0, 20.0, 21.0, 21.0}).empty());
    EXPECT_TRUE(grid.cells_around({-1e300, -1e300, -1e299, -1e299}).empty());
}

TEST(Grid, CellsAroundABoxAreEnoughToInterpolateAnywhereInIt) {
    RandomNumbers random(21);
    for (int i = 0; i < 5000; ++i) {
        const Grid grid{.x_min = -3.0,
                        .y_max = 7.0,
                        .cell_width = 0.25,
                        .cell_height = 0.5,
                        .rows = random.whole(1, 12),
                        .cols = random.whole(1, 12)};
        // Multiples of an eighth fall on edges and centres often.
        const Point point{-3.0 + 0.125 * random.whole(0, static_cast<int>(2 * grid.cols)),
                          7.0 - 0.125 * random.whole(0, static_cast<int>(4 * grid.rows))};
        const auto stencil = bilinear_stencil(grid, point);
        ASSERT_TRUE(stencil);
        const CellRange range = grid.cells_around({point.x, point.y, point.x, point.y});
        for (const Cell& cell : stencil->cells) {
            EXPECT_TRUE(cell.row >= range.row_begin && cell.row < range.row_end && cell.col >= range.col_begin &&
                        cell.col < range.col_end);
        }
    }
}

TEST(Grid, APlaceIsTurnedRoundTheEarthOnlyWhereThatPutsItIntoTheGrid) {
    const Grid east_only{.x_min = 0.0, .y_max = 90.0, .cell_width = 1.0, .cell_height = 1.0, .rows = 180, .cols = 360};
    EXPECT_EQ(turned_into(east_only, {-122.5, 38.0}), (Point{237.5, 38.0}));
    EXPECT_EQ(turned_into(east_only, {20.5, -34.0}), (Point{20.5, -34.0}));
    EXPECT_EQ(turned_into(east_only, {-122.5, 95.0}), (Point{-122.5, 95.0}));
    const Grid both{.x_min = -180.0, .y_max = 90.0, .cell_width = 1.0, .cell_height = 1.0, .rows = 180, .cols = 360};
    EXPECT_EQ(turned_into(both, {237.5, 38.0}), (Point{-122.5, 38.0}));
    EXPECT_EQ(turned_into(both, {-122.5, 38.0}), (Point{-122.5, 38.0}));
    const Grid part{.x_min = 230.0, .y_max = 40.0, .cell_width = 1.0, .cell_height = 1.0, .rows = 5, .cols = 5};
    EXPECT_EQ(turned_into(part, {20.5, 38.0}), (Point{20.5, 38.0}));
}

TEST(Grid, RangesOfCellsAreCutGrownAndCountedAnew) {
    const CellRange range{2, 5, 4, 9};
    EXPECT_EQ(range.common_with({3, 8, 0, 6}), (CellRange{3, 5, 4, 6}));
    EXPECT_TRUE(range.common_with({5, 8, 4, 9}).empty());
    EXPECT_EQ(range.common_with({7, 8, 4, 9}).rows(), 0);
    EXPECT_EQ(range.grown(3).common_with(Grid{.rows = 6, .cols = 20}.cells()), (CellRange{0, 6, 1, 12}));
    EXPECT_EQ(range.seen_from({2, 4}), (CellRange{0, 3, 0, 5}));
    EXPECT_EQ(range.edges().x_min, 4.0);
    EXPECT_EQ(range.edges().x_max, 9.0);
    EXPECT_EQ(range.edges().y_max, 5.0);
    EXPECT_EQ(range.edges().y_min, 2.0);
    EXPECT_EQ((Box{1.0, 2.0, 4.0, 3.0}.middle()), (Point{2.5, 2.5}));
}

TEST(Grid, ABoxGrowsToHoldWhatIsAdded) {
    Box box;
    EXPECT_TRUE(box.empty());
    box.add(Box{});
    EXPECT_TRUE(box.empty());
    box.add(Point{2.0, 3.0});
    EXPECT_FALSE(box.empty());
    box.add(Box{-1.0, 4.0, 0.0, 5.0});
    EXPECT_EQ(box.x_min, -1.0);
    EXPECT_EQ(box.y_min, 3.0);
    EXPECT_EQ(box.x_max, 2.0);
    EXPECT_EQ(box.y_max, 5.0);
    EXPECT_TRUE(box.intersects({2.0, 5.0, 9.0, 9.0}));
    EXPECT_FALSE(box.intersects({2.1, 5.0, 9.0, 9.0}));
    const Box grown = box.grown(1.0, 2.0);
    EXPECT_EQ(grown.x_min, -2.0);
    EXPECT_EQ(grown.y_max, 7.0);
}

}  // namespace
}  // namespace eaveshed
