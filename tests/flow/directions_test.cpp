// method.md 7.14: directions.
#include "eaveshed/flow/directions.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <deque>
#include <utility>

#include "eaveshed/core/error.hpp"
#include "eaveshed/flow/fill.hpp"
#include "flow/ground.hpp"

namespace eaveshed {
namespace {

using ::testing::ElementsAreArray;
using testing::ground;
using testing::kGap;
using testing::RandomNumbers;

constexpr std::uint8_t kOut = kFlowsOut;

// The way of the middle of 3 x 3 cells of 3 x 4 m, whose corners are 5 m away.
std::uint8_t way_of_middle(const std::pmr::vector<double>& elev_m) {
    const Surface<double> surface{testing::plain_grid(3, 3), elev_m};
    return flow_directions(surface, {{3.0, 3.0, 3.0}, {4.0, 4.0, 4.0}}).ways[4];
}

TEST(FlowDirections, OfEveryTieAreTheFirstInTheirOrder) {
    for (unsigned lower = 1; lower < 256; ++lower) {
        std::pmr::vector<double> elev_m(9, 100.0);
        std::uint8_t first = kOut;
        testing::visit_around(testing::plain_grid(3, 3), 4, [&](std::size_t near, std::size_t way) {
            if ((lower >> way & 1U) != 0) {
                // 1 m down for each m away: 3 along the row, 4 along the column, 5 across.
                elev_m[near] = 100.0 - (kWays[way].diagonal() ? 5.0 : (kWays[way].row == 0 ? 3.0 : 4.0));
                first = std::min(first, static_cast<std::uint8_t>(way));
            }
        });
        EXPECT_EQ(way_of_middle(elev_m), first) << lower;
    }
}

TEST(FlowDirections, TakeTheSteepestDropAndNotTheDeepest) {
    for (std::size_t steepest = 0; steepest < kWays.size(); ++steepest) {
        std::pmr::vector<double> elev_m(9, 0.0);
        testing::visit_around(testing::plain_grid(3, 3), 4, [&](std::size_t near, std::size_t way) {
            const double away = kWays[way].diagonal() ? 5.0 : (kWays[way].row == 0 ? 3.0 : 4.0);
            elev_m[near] = 100.0 - away * (way == steepest ? 1.01 : 1.0);
        });
        elev_m[4] = 100.0;
        EXPECT_EQ(way_of_middle(elev_m), steepest);
    }
}

// R7.4: Jenson and Domingue's codes on a grid used by several public test suites (read).
TEST(FlowDirections, AreThoseOfThePublishedGrid) {
    const Surface<double> surface = ground({{78, 72, 69, 71, 58, 49},
                                            {74, 67, 56, 49, 46, 50},
                                            {69, 53, 44, 37, 38, 48},
                                            {64, 58, 55, 22, 31, 24},
                                            {68, 61, 47, 21, 16, 19},
                                            {74, 53, 34, 12, 11, 12}});
    const std::vector<int> published{2,   2,   2, 4, 4, 8,  //
                                     2,   2,   2, 4, 4, 8,  //
                                     1,   1,   2, 4, 8, 4,  //
                                     128, 128, 1, 2, 4, 8,  //
                                     2,   2,   1, 4, 4, 4,  //
                                     1,   1,   1, 1, 4, 16};
    std::vector<int> codes;
    for (const std::uint8_t way : flow_directions(surface, sides_in_plane(surface.grid, 1.0)).ways) {
        codes.push_back(way == kOut ? 4 : 1 << way);  // the outlet's water is sent south, off the grid
    }
    EXPECT_THAT(codes, ElementsAreArray(published));
}

TEST(FlowDirections, LeadAFlatToWhereItIsLeft) {
    // A shelf of 5 with one way down, in the east.
    const Surface<double> surface =
        ground({{9, 9, 9, 9, 9, 9}, {9, 5, 5, 5, 5, 9}, {9, 5, 5, 5, 5, 3}, {9, 5, 5, 5, 5, 9}, {9, 9, 9, 9, 9, 9}});
    const FlowDirections found = flow_directions(surface, sides_in_plane(surface.grid, 1.0));
    const auto row = [&](std::ptrdiff_t at) {
        return std::vector<int>(found.ways.begin() + at * 6 + 1, found.ways.begin() + at * 6 + 5);
    };
    // Beside the cells that drain to 3 straight: E is nearer than SE and NE.
    EXPECT_THAT(row(1), ElementsAreArray({0, 0, 0, 1}));
    EXPECT_THAT(row(2), ElementsAreArray({0, 0, 0, 0}));
    EXPECT_THAT(row(3), ElementsAreArray({0, 0, 0, 7}));
}

TEST(FlowDirections, LetAFlatAtTheEdgeRunOff) {
    const Surface<double> surface = ground({{2, 2, 2}, {2, 2, 2}, {2, 2, 2}, {2, 2, 2}});
    const FlowDirections found = flow_directions(surface, sides_in_plane(surface.grid, 1.0));
    EXPECT_THAT(found.ways, ElementsAreArray({kOut, kOut, kOut,                                  //
                                              kOut, std::uint8_t{0}, kOut,                       //
                                              kOut, std::uint8_t{0}, kOut, kOut, kOut, kOut}));  //
}

TEST(FlowDirections, RunIntoAGapOnlyWhereNothingIsLower) {
    const Surface<double> surface = ground({{9, 9, 9, 9, 9},  //
                                            {9, 4, kGap, 6, 9},
                                            {9, 5, 5, 5, 5},
                                            {9, 9, 9, 9, 3}});
    const FlowDirections found = flow_directions(surface, sides_in_plane(surface.grid, 1.0));
    EXPECT_EQ(found.ways[5 + 1], kOut);
    EXPECT_EQ(found.ways[5 + 2], kNoGround);
    EXPECT_EQ(found.ways[5 + 3], 2);
    EXPECT_EQ(found.ways[10 + 1], 6);
    EXPECT_EQ(found.ways[10 + 2], 5);  // to 4, across the corner
    EXPECT_EQ(found.ways[10 + 3], 1);
    EXPECT_EQ(found.downstream(5 + 2), std::nullopt);
    EXPECT_EQ(found.downstream(5 + 1), std::nullopt);
    EXPECT_EQ(found.downstream(10 + 3), 19U);
}

TEST(FlowDirections, NeedFilledGround) {
    const Surface<double> surface = ground({{9, 9, 9}, {9, 1, 9}, {9, 9, 9}});
    EXPECT_THROW(static_cast<void>(flow_directions(surface, sides_in_plane(surface.grid, 1.0))), Error);
    const Surface<double> flat = ground({{9, 9, 9, 9}, {9, 1, 1, 9}, {9, 9, 9, 9}});
    EXPECT_THROW(static_cast<void>(flow_directions(flat, sides_in_plane(flat.grid, 1.0))), Error);
}

TEST(FlowDirections, NeedSidesThatFit) {
    const Surface<double> surface = ground({{9, 9}, {9, 1}});
    EXPECT_THROW(static_cast<void>(flow_directions(surface, {{1.0}, {1.0, 1.0}})), Error);
    EXPECT_THROW(static_cast<void>(flow_directions(surface, {{1.0, 0.0}, {1.0, 1.0}})), Error);
}

// How many steps it is within its flat from each cell to one that drains otherwise, for cells that do not themselves.
std::vector<int> steps_in_flat(const Surface<float>& surface) {
    std::vector<int> steps(surface.elev_m.size(), -1);
    std::deque<std::size_t> front;
    for (std::size_t cell = 0; cell < steps.size(); ++cell) {
        bool lower = testing::is_outlet(surface, cell);
        testing::visit_around(surface.grid, cell, [&](std::size_t near, std::size_t) {
            lower = lower || surface.elev_m[near] < surface.elev_m[cell];
        });
        if (lower) {
            steps[cell] = 0;
            front.push_back(cell);
        }
    }
    while (!front.empty()) {
        const std::size_t cell = front.front();
        front.pop_front();
        testing::visit_around(surface.grid, cell, [&](std::size_t near, std::size_t) {
            if (steps[near] < 0 && surface.elev_m[near] == surface.elev_m[cell]) {
                steps[near] = steps[cell] + 1;
                front.push_back(near);
            }
        });
    }
    return steps;
}

// The definition, cell by cell: steepest where something is lower, else one step nearer to where the flat is left.
std::uint8_t wanted_way(const Surface<float>& surface, const std::vector<int>& steps, const RowSides& sides,
                        std::size_t cell) {
    const WayLengths lengths = way_lengths(sides, static_cast<std::int64_t>(cell) / surface.grid.cols);
    std::uint8_t best = kOut;
    double most = 0.0;
    testing::visit_around(surface.grid, cell, [&](std::size_t near, std::size_t way) {
        const bool nearer = surface.elev_m[near] == surface.elev_m[cell] && steps[near] == steps[cell] - 1;
        const double drop = steps[cell] == 0
                                ? static_cast<double>(surface.elev_m[cell]) - static_cast<double>(surface.elev_m[near])
                                : (nearer ? 1.0 : 0.0);
        if (drop / lengths.of(way) > most) {
            most = drop / lengths.of(way);
            best = static_cast<std::uint8_t>(way);
        }
    });
    return best;
}

TEST(FlowDirections, AreTheDefinitionsOnRandomGround) {
    RandomNumbers random(5);
    for (int i = 0; i < 600; ++i) {
        const int heights = i % 2 == 0 ? 4 : 60;
        Surface<float> surface = testing::random_ground<float>(random, heights, i % 3 == 0 ? 0.04 : 0.0);
        fill_depressions(surface);
        RowSides sides = sides_in_plane(surface.grid, 1.0);
        for (std::size_t row = 0; row < sides.width_m.size(); ++row) {
            sides.width_m[row] = random.between(0.5, 2.0);
            sides.height_m[row] = i % 4 == 0 ? 1.0 : random.between(0.5, 2.0);
        }
        const FlowDirections found = flow_directions(surface, sides);
        const std::vector<int> steps = steps_in_flat(surface);
        for (std::size_t cell = 0; cell < found.ways.size(); ++cell) {
            const std::uint8_t wanted =
                std::isnan(surface.elev_m[cell]) ? kNoGround : wanted_way(surface, steps, sides, cell);
            ASSERT_EQ(found.ways[cell], wanted) << "ground " << i << ", cell " << cell;
        }
    }
}

TEST(FlowDirections, LeadEveryCellToAnOutletAndNeverUp) {
    RandomNumbers random(6);
    for (int i = 0; i < 300; ++i) {
        Surface<double> surface = testing::random_ground<double>(random, 6, i % 2 == 0 ? 0.05 : 0.0);
        fill_depressions(surface);
        const FlowDirections found = flow_directions(surface, sides_in_plane(surface.grid, 1.0));
        for (CellNumber start = 0; start < found.ways.size(); ++start) {
            CellNumber cell = start;
            std::size_t steps = 0;
            for (auto to = found.downstream(cell); to; to = found.downstream(cell)) {
                ASSERT_LE(surface.elev_m[*to], surface.elev_m[cell]);
                ASSERT_LT(++steps, found.ways.size()) << "a loop";
                cell = *to;
            }
            ASSERT_TRUE(std::isnan(surface.elev_m[start]) || testing::is_outlet(surface, cell));
        }
    }
}

// A row longer than the pieces in which rows are worked on, and both kinds of number.
TEST(FlowDirections, DoNotDependOnTheNumberOfColumns) {
    RandomNumbers random(7);
    Surface<double> wide{testing::plain_grid(4, 1000), {}};
    for (int i = 0; i < 4000; ++i) {
        wide.elev_m.push_back(random.whole(0, 200));
    }
    fill_depressions(wide);
    Surface<float> same{wide.grid, std::pmr::vector<float>(wide.elev_m.begin(), wide.elev_m.end())};
    const RowSides sides = sides_in_plane(wide.grid, 1.0);
    const FlowDirections found = flow_directions(wide, sides);
    EXPECT_EQ(found.ways, flow_directions(same, sides).ways);
    const std::vector<int> steps = steps_in_flat(same);
    for (std::size_t cell = 0; cell < found.ways.size(); ++cell) {
        ASSERT_EQ(found.ways[cell], wanted_way(same, steps, sides, cell)) << cell;
    }
}

// R7.8 (derived, exact zone formula): areas of cells of 1 x 1 degree in km2. Sides at the middle of so large a cell are
// off by some (1 degree)^2 / 24, 1.3e-5.
TEST(RowSides, InDegreesAreThoseOfTheRowsLatitude) {
    const Grid grid{10.0, 61.0, 1.0, 1.0, 61, 3};
    const RowSides sides = sides_in_degrees(grid, Ellipsoid{});
    const std::vector<std::pair<std::int64_t, double>> area_km2{{0, 12308.4639}, {30, 10642.3934}, {38, 9683.2322},
                                                                {40, 9412.8516}, {45, 8686.4950},  {60, 6123.1409}};
    for (const auto& [south_deg, km2] : area_km2) {
        EXPECT_NEAR(sides.area_m2(60 - south_deg), km2 * 1e6, 2e-5 * km2 * 1e6) << south_deg;
    }
}

TEST(RowSides, InAPlaneAreTheUnitsInMetres) {
    const RowSides sides = sides_in_plane({0.0, 0.0, 10.0, 20.0, 2, 3}, 0.3048);
    EXPECT_EQ(sides.width_m, (std::vector<double>{3.048, 3.048}));
    EXPECT_DOUBLE_EQ(sides.area_m2(1), 3.048 * 6.096);
}

TEST(RowSides, ThatDifferByAFilesNoiseAreEqual) {
    const RowSides sides = sides_in_plane({0.0, 0.0, 0.0002777777777777205, 0.00027777777777776894, 2, 3}, 1.0);
    EXPECT_EQ(sides.width_m, sides.height_m);
    EXPECT_EQ(sides_in_plane({0.0, 0.0, 1.0, 1.00001, 1, 1}, 1.0).height_m.front(), 1.00001);
}

}  // namespace
}  // namespace eaveshed
