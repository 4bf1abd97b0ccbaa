// method.md 2.1: a series at a point.
#include "eaveshed/rain/sampling.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>
#include <optional>
#include <vector>

#include "../support/random_numbers.hpp"
#include "support/plain_values.hpp"

namespace eaveshed {
namespace {

using testing::kNaN;

using testing::RandomNumbers;

Grid unit_grid(std::int64_t rows, std::int64_t cols) {
    return {.x_min = 0.0,
            .y_max = static_cast<double>(rows),
            .cell_width = 1.0,
            .cell_height = 1.0,
            .rows = rows,
            .cols = cols};
}

// A field over a whole grid, every value missing.
StepField empty_field(const Grid& grid, std::size_t steps) {
    return {{.grid = grid, .window = {0, grid.rows, 0, grid.cols}, .steps = steps},
            std::vector<double>(static_cast<std::size_t>(grid.rows * grid.cols) * steps, kNaN)};
}

void set(StepField& field, Cell cell, std::size_t step, double value) {
    const auto index = static_cast<std::size_t>((cell.row - field.window.row_begin) * field.window.cols() +
                                                (cell.col - field.window.col_begin));
    field.values[index * field.steps + step] = value;
}

Point at(const StepField& field, double row, double col) {
    return {(col + 0.5) * field.grid.cell_width, field.grid.y_max - (row + 0.5) * field.grid.cell_height};
}

// R8.3: derived, half-pixel guard.
TEST(Sampling, InterpolatesBetweenCellCentresStepByStep) {
    StepField field = empty_field(unit_grid(2, 2), 2);
    const std::vector<double> first{10.0, 20.0, 30.0, 40.0};
    for (std::size_t i = 0; i < 4; ++i) {
        const Cell cell{static_cast<std::int64_t>(i / 2), static_cast<std::int64_t>(i % 2)};
        set(field, cell, 0, first[i]);
        set(field, cell, 1, 2.0 * first[i]);
    }
    const auto middle = sample_series(field, {1.0, 1.0});
    ASSERT_TRUE(middle);
    EXPECT_FALSE(middle->filled);
    EXPECT_EQ(middle->values, (std::vector<double>{25.0, 50.0}));
    EXPECT_EQ(sample_series(field, {0.5, 1.5})->values, (std::vector<double>{10.0, 20.0}));
    EXPECT_EQ(sample_series(field, {0.75, 1.5})->values, (std::vector<double>{12.5, 25.0}));
    EXPECT_EQ(sample_series(field, {0.25, 1.5})->values, (std::vector<double>{10.0, 20.0}));
}

TEST(Sampling, AMissingNeighbourDropsOutInItsStepsOnly) {
    StepField field = empty_field(unit_grid(2, 2), 3);
    for (std::int64_t i = 0; i < 4; ++i) {
        set(field, {i / 2, i % 2}, 0, 10.0 * static_cast<double>(i + 1));
        set(field, {i / 2, i % 2}, 1, i == 0 ? kNaN : 10.0 * static_cast<double>(i + 1));
    }
    const auto sample = sample_series(field, {1.0, 1.0});
    ASSERT_TRUE(sample);
    EXPECT_FALSE(sample->filled);
    EXPECT_DOUBLE_EQ(sample->values[0], 25.0);
    EXPECT_DOUBLE_EQ(sample->values[1], 30.0);
    EXPECT_TRUE(std::isnan(sample->values[2]));
}

TEST(Sampling, EqualsTheRuleOfTheGridToTheLastBit) {
    for (std::uint64_t seed = 0; seed < 200; ++seed) {
        RandomNumbers random(seed);
        StepField field = empty_field(unit_grid(4, 5), 30);
        const double missing = random.chance(0.5) ? 0.0 : 0.2;
        for (double& value : field.values) {
            value = random.chance(missing) ? kNaN : random.between(-5.0, 40.0);  // temperatures go below zero
            value = seed % 20 == 0 ? -0.0 : value;
        }
        const Point point{random.whole(0, 40) / 8.0, random.whole(0, 32) / 8.0};
        const auto stencil = bilinear_stencil(field.grid, point);
        ASSERT_TRUE(stencil);
        const auto sample = sample_series(field, point);
        ASSERT_TRUE(sample);
        if (sample->filled) {
            continue;
        }
        for (std::size_t i = 0; i < field.steps; ++i) {
            std::array<double, 4> values{};
            for (std::size_t k = 0; k < 4; ++k) {
                values[k] = field.series(stencil->cells[k])[i];
            }
            const double expected = bilinear_value(values, stencil->weights);
            ASSERT_EQ(std::bit_cast<std::uint64_t>(sample->values[i]), std::bit_cast<std::uint64_t>(expected));
        }
    }
}

TEST(Sampling, WhereEveryStepIsMissingTheNearestCellWithDataStandsIn) {
    StepField field = empty_field(unit_grid(9, 9), 2);
    set(field, {4, 7}, 1, 6.0);  // one valid step is data
    set(field, {1, 4}, 0, 9.0);
    const auto sample = sample_series(field, at(field, 4.0, 4.2));
    ASSERT_TRUE(sample);
    EXPECT_TRUE(sample->filled);
    EXPECT_TRUE(std::isnan(sample->values[0]));
    EXPECT_EQ(sample->values[1], 6.0);
}

TEST(Sampling, TheNearestCellMayBeThreeCellsAwayAndNoFurther) {
    StepField field = empty_field(unit_grid(9, 9), 1);
    set(field, {4, 7}, 0, 6.0);
    EXPECT_TRUE(sample_series(field, at(field, 4.0, 4.0)));
    EXPECT_FALSE(sample_series(field, at(field, 4.0, 3.875)));
    EXPECT_FALSE(sample_series(field, at(field, 5.0, 4.0)));  // sqrt(10) cells
    EXPECT_TRUE(sample_series(field, at(field, 6.0, 5.0)));   // sqrt(8) cells
}

TEST(Sampling, EqualDistancesGoToTheLowestRowThenColumn) {
    StepField field = empty_field(unit_grid(9, 9), 1);
    set(field, {6, 4}, 0, 1.0);
    set(field, {4, 6}, 0, 2.0);
    set(field, {4, 2}, 0, 3.0);
    EXPECT_EQ(sample_series(field, at(field, 4.0, 4.0))->values.front(), 3.0);
    set(field, {2, 4}, 0, 4.0);
    EXPECT_EQ(sample_series(field, at(field, 4.0, 4.0))->values.front(), 4.0);
}

TEST(Sampling, APointOutsideTheExtentTakesTheNearestCellFromItsUnclampedPlace) {
    StepField field = empty_field(unit_grid(5, 5), 1);
    for (std::int64_t row = 0; row < 5; ++row) {
        for (std::int64_t col = 0; col < 5; ++col) {
            set(field, {row, col}, 0, static_cast<double>(10 * row + col));
        }
    }
    const auto sample = sample_series(field, at(field, 2.0, -3.0));
    ASSERT_TRUE(sample);
    EXPECT_TRUE(sample->filled);
    EXPECT_EQ(sample->values.front(), 20.0);
    EXPECT_FALSE(sample_series(field, at(field, 2.0, -3.125)));
    EXPECT_FALSE(sample_series(field, at(field, -2.5, -2.5)));  // each axis within reach, the distance not
    // On the edge is inside: clamped, not filled.
    EXPECT_FALSE(sample_series(field, at(field, 2.0, -0.5))->filled);
    EXPECT_EQ(sample_series(field, at(field, 2.0, -0.5))->values.front(), 20.0);
}

TEST(Sampling, ThereIsNoneFarFromTheGridOrWithoutData) {
    const StepField field = empty_field(unit_grid(5, 5), 3);
    EXPECT_FALSE(sample_series(field, {2.5, 2.5}));
    EXPECT_FALSE(sample_series(field, {1e300, -1e300}));
    EXPECT_FALSE(sample_series(field, {kNaN, 2.5}));
    EXPECT_FALSE(sample_series(field, {std::numeric_limits<double>::infinity(), 2.5}));
}

TEST(Sampling, CellsAreMeasuredInCellsAndNotInUnits) {
    StepField field = empty_field(unit_grid(9, 9), 1);
    field.grid.cell_width = 4.0;
    set(field, {4, 7}, 0, 6.0);  // twelve units away: three cells
    EXPECT_TRUE(sample_series(field, at(field, 4.0, 4.0)));
}

TEST(Sampling, DoesNotDependOnTheWindowThatIsHeld) {
    StepField whole = empty_field(unit_grid(20, 20), 4);
    RandomNumbers random(17);
    for (double& value : whole.values) {
        value = random.chance(0.985) ? kNaN : random.between(0.0, 50.0);
    }
    StepField part = empty_field(whole.grid, 4);
    part.window = {4, 15, 3, 16};
    part.values.clear();
    for (std::int64_t row = 4; row < 15; ++row) {
        for (std::int64_t col = 3; col < 16; ++col) {
            const auto series = whole.series({row, col});
            part.values.insert(part.values.end(), series.begin(), series.end());
        }
    }
    int filled = 0;
    for (int i = 0; i < 300; ++i) {  // four cells around are held
        const Point point = at(whole, random.between(8.0, 10.0), random.between(7.0, 11.0));
        const auto a = sample_series(whole, point);
        const auto b = sample_series(part, point);
        ASSERT_EQ(a.has_value(), b.has_value());
        if (a) {
            EXPECT_EQ(a->filled, b->filled);
            filled += a->filled ? 1 : 0;
            for (std::size_t k = 0; k < 4; ++k) {
                EXPECT_EQ(std::bit_cast<std::uint64_t>(a->values[k]), std::bit_cast<std::uint64_t>(b->values[k]));
            }
        }
    }
    EXPECT_GT(filled, 0);
}

std::uint64_t bits(double value) {
    return std::bit_cast<std::uint64_t>(value);
}

// Every kind of place: between valid cells, beside the edge of the data, outside the extent, far from everything.
TEST(Sampling, FromOnlyTheCellsThatItAsksForGivesWhatTheWholeWindowGives) {
    StepField whole = empty_field(unit_grid(24, 24), 5);
    RandomNumbers random(23);
    for (double& value : whole.values) {
        value = random.chance(0.985) ? kNaN : random.between(0.0, 50.0);
    }
    for (std::int64_t row = 0; row < 24; ++row) {
        for (std::int64_t col = 0; col < 8; ++col) {
            for (std::size_t step = 0; step < 5; ++step) {
                set(whole, {row, col}, step, random.chance(0.1) ? kNaN : random.between(0.0, 50.0));
            }
        }
    }
    std::size_t filled = 0;
    std::size_t without = 0;
    std::size_t four_cells = 0;
    for (int i = 0; i < 3000; ++i) {
        const Point point{random.between(-4.0, 28.0), random.between(-4.0, 28.0)};
        SparseStepField some(whole);
        add_sampled_cells(some, point, [&](Cell cell) { return whole.series(cell); });
        const auto expected = sample_series(whole, point);
        const auto sample = sample_series(some, point);
        ASSERT_EQ(sample.has_value(), expected.has_value());
        four_cells += some.cells().size() <= 4 ? 1U : 0U;
        if (!expected) {
            ++without;
            continue;
        }
        filled += expected->filled ? 1U : 0U;
        EXPECT_EQ(sample->filled, expected->filled);
        for (std::size_t step = 0; step < 5; ++step) {
            EXPECT_EQ(bits(sample->values[step]), bits(expected->values[step]));
        }
        if (!expected->filled) {
            EXPECT_LE(some.cells().size(), 4U);  // nothing beyond what is interpolated
        }
    }
    EXPECT_GT(filled, 100U);
    EXPECT_GT(without, 100U);
    EXPECT_GT(four_cells, 500U);
}

TEST(Sampling, AsksForNoCellTwice) {
    StepField whole = empty_field(unit_grid(3, 3), 1);
    set(whole, {0, 0}, 0, 1.0);
    SparseStepField some(whole);
    std::vector<Cell> asked;
    const auto read = [&](Cell cell) {
        asked.push_back(cell);
        return whole.series(cell);
    };
    add_sampled_cells(some, at(whole, 0.5, 0.5), read);
    EXPECT_EQ(asked.size(), 4U);
    add_sampled_cells(some, at(whole, 0.5, 0.5), read);
    EXPECT_EQ(asked.size(), 4U);
    add_sampled_cells(some, at(whole, 2.0, 2.0), read);  // no value around it: the whole grid is within reach
    EXPECT_EQ(asked.size(), 9U);
}

// Gaps, points outside and several sets of four cells among them: every lane is right or says that it holds nothing.
TEST(Sampling, PointsSideBySideAreWhatEachIsAlone) {
    RandomNumbers random(29);
    std::array<std::size_t, 3> seen{};
    for (int world = 0; world < 100; ++world) {
        StepField field = empty_field(unit_grid(3, 4), static_cast<std::size_t>(random.whole(0, 9)));
        const double gap = world % 3 * 0.3;
        for (double& value : field.values) {
            value = random.chance(gap) ? kNaN : random.between(0.0, 20.0);
        }
        std::vector<std::optional<Point>> points;
        for (int i = random.whole(1, static_cast<int>(kLanes)); i > 0; --i) {
            points.emplace_back(at(field, random.between(-0.8, 2.8), random.between(-0.8, 3.8)));
            if (random.chance(0.1)) {
                points.back().reset();
            }
        }
        std::vector<Lanes> lanes;
        const Vectors vectors = vectors_here()[static_cast<std::size_t>(world) % vectors_here().size()];
        const auto samples = sample_lanes(field, points, lanes, vectors);
        ASSERT_EQ(lanes.size(), field.steps);
        for (std::size_t k = 0; k < points.size(); ++k) {
            ++seen.at(static_cast<std::size_t>(samples[k]));
            const auto alone = points[k] ? sample_series(field, *points[k]) : std::nullopt;
            if (samples[k] == LaneSample::none) {
                EXPECT_TRUE(!alone || alone->filled);
                continue;
            }
            ASSERT_TRUE(alone);
            EXPECT_FALSE(alone->filled);
            const std::vector<double> lane = lane_of(lanes, k);
            EXPECT_TRUE(std::ranges::equal(lane, alone->values, [](double a, double b) {
                return std::bit_cast<std::uint64_t>(a) == std::bit_cast<std::uint64_t>(b) ||
                       (std::isnan(a) && std::isnan(b));
            }));
            if (samples[k] == LaneSample::whole) {
                EXPECT_TRUE(std::ranges::none_of(lane, [](double value) { return std::isnan(value); }));
            }
        }
    }
    for (const std::size_t lanes : seen) {
        EXPECT_GT(lanes, 20U);
    }
}

}  // namespace
}  // namespace eaveshed
