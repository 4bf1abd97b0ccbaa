// method.md 7.15: the ways down the ground to streams that it drew itself, and to lines.
#include "eaveshed/flow/ways_to_stream.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <map>
#include <set>

#include "eaveshed/core/error.hpp"
#include "eaveshed/flow/fill.hpp"
#include "flow/ground.hpp"

namespace eaveshed {
namespace {

using testing::drawn_ways;
using ::testing::ElementsAre;
using ::testing::ElementsAreArray;
using ::testing::IsEmpty;
using testing::plain_grid;
using testing::RandomNumbers;
using testing::streams_of;
using testing::valley;

TEST(WaysToStream, LeadToTheFirstReach) {
    const FlowDirections directions = valley(3.0, 4.0);
    const DerivedStreams streams = streams_of(directions, 72.0);
    const WaysToStream ways(directions, channel_of(streams));
    const auto entry = ways.entry_of(CellNumber{0});  // S, then SE into 11
    ASSERT_TRUE(entry);
    EXPECT_EQ(entry->reach, 0U);
    EXPECT_EQ(entry->cell, 11U);
    EXPECT_EQ(entry->distance_m, 9.0);
    EXPECT_EQ(ways.entry_of(CellNumber{17})->reach, 2U);  // the confluence is of the reach that leaves it
    EXPECT_EQ(ways.entry_of(CellNumber{17})->distance_m, 0.0);
    EXPECT_EQ(ways.entry_of(Point{0.5, 4.5})->cell, 11U);
    EXPECT_FALSE(ways.entry_of(Point{-0.5, 4.5}));
}

TEST(WaysToStream, EndWhereTheWaterLeavesTheGround) {
    const FlowDirections directions = drawn_ways({"88", "92", "08"});
    const DerivedStreams streams = streams_of(directions, 2.0);
    ASSERT_TRUE(streams.reaches.empty());  // only the outlet is one
    const WaysToStream ways(directions, channel_of(streams));
    EXPECT_FALSE(ways.entry_of(CellNumber{3}));
    EXPECT_FALSE(ways.entry_of(CellNumber{2}));
    EXPECT_THAT(ways.catchments(), ::testing::Each(kNoReach));
}

TEST(WaysToStream, DoNotEndInAStreamOverAGap) {
    // A line along the second row, whose middle cell is a gap: water runs into that and not into the stream.
    const WaysToStream ways(drawn_ways({"282", "090", "888"}), {{3, 0}, {4, 0}, {5, 0}});
    EXPECT_EQ(ways.entry_of(CellNumber{0})->cell, 3U);
    EXPECT_EQ(ways.entry_of(CellNumber{2})->cell, 5U);
    EXPECT_FALSE(ways.entry_of(CellNumber{1}));
    EXPECT_FALSE(ways.entry_of(CellNumber{4}));
    EXPECT_THAT(ways.catchments(), ElementsAreArray({0U, kNoReach, 0U,  //
                                                     0U, kNoReach, 0U,  //
                                                     kNoReach, kNoReach, kNoReach}));
}

TEST(WaysToStream, ToALineEndWhereItWasDrawnAndNotInTheValley) {
    const FlowDirections directions = valley();
    const WaysToStream ways(directions, channel_of({{{0.5, 2.5}, {2.5, 2.5}}}, ReachTree({kNoReach}), directions.grid));
    EXPECT_EQ(ways.entry_of(CellNumber{0})->cell, 10U + 1U);
    EXPECT_EQ(ways.entry_of(CellNumber{2})->cell, 12U);
    EXPECT_FALSE(ways.entry_of(CellNumber{17}));  // below it the water meets no reach
    EXPECT_FALSE(ways.entry_of(CellNumber{4}));
}

TEST(Catchments, AreWhatDrainsToEachReachFirst) {
    const FlowDirections directions = valley();
    const WaysToStream ways(directions, channel_of(streams_of(directions, 6.0)));
    EXPECT_THAT(ways.catchments(), ElementsAreArray({0, 0, 2, 1, 1,  //
                                                     0, 0, 2, 1, 1,  //
                                                     0, 0, 2, 1, 1,  //
                                                     2, 2, 2, 2, 2,  //
                                                     2, 2, 2, 2, 2}));
}

// Catchments are where the ways lead, and with what is upstream they come to the area drained.
TEST(Catchments, AreTheDefinitionOnRandomGround) {
    RandomNumbers random(10);
    for (int i = 0; i < 400 && !::testing::Test::HasFailure(); ++i) {
        Surface<float> surface = testing::random_ground<float>(random, 12, i % 2 == 0 ? 0.05 : 0.0);
        fill_depressions(surface);
        const FlowDirections directions = flow_directions(surface, sides_in_plane(surface.grid, 1.0));
        const DerivedStreams streams = streams_of(directions, random.whole(1, 8));
        const WaysToStream ways(directions, channel_of(streams));
        const std::pmr::vector<std::uint32_t> labels = ways.catchments();
        std::set<CellNumber> channel;
        for (const ChannelCell& one : channel_of(streams)) {
            channel.insert(one.cell);
        }
        std::vector<double> local_m2(streams.reaches.size(), 0.0);
        for (CellNumber cell = 0; cell < labels.size(); ++cell) {
            const auto entry = ways.entry_of(cell);
            EXPECT_EQ(labels[cell], entry ? entry->reach : kNoReach);
            if (entry) {
                local_m2[entry->reach] += 1.0;
                CellNumber last = cell;
                while (!channel.contains(last)) {
                    last = directions.downstream(last).value();
                }
                EXPECT_EQ(entry->cell, last);
            }
        }
        const std::vector<double> total_m2 = streams.tree.accumulated(local_m2);
        for (std::uint32_t r = 0; r < streams.reaches.size(); ++r) {
            if (streams.tree.next(r) != kNoReach) {
                EXPECT_EQ(total_m2[r], streams.reaches[r].area_m2);
            }
        }
    }
}

std::vector<CellNumber> cells_of(const Line& line, const Grid& grid) {
    std::vector<CellNumber> cells;
    for (const ChannelCell& one : channel_of({line}, ReachTree({kNoReach}), grid)) {
        cells.push_back(one.cell);
    }
    return cells;
}

TEST(CellsOfALine, GoOverSidesAndNeverOverACorner) {
    const Grid grid = plain_grid(4, 5);
    EXPECT_THAT(cells_of({{0.5, 3.5}, {0.7, 3.2}}, grid), ElementsAre(0));
    EXPECT_THAT(cells_of({{0.5, 3.5}, {3.5, 3.5}}, grid), ElementsAre(0, 1, 2, 3));
    EXPECT_THAT(cells_of({{0.5, 3.5}, {0.5, 0.5}}, grid), ElementsAre(0, 5, 10, 15));
    // Through the corner of four cells: one of the two beside it as well.
    EXPECT_THAT(cells_of({{0.5, 3.5}, {1.5, 2.5}}, grid), ElementsAre(0, 1, 6));
    EXPECT_THAT(cells_of({{1.5, 2.5}, {0.5, 3.5}}, grid), ElementsAre(0, 5, 6));
    // A shallow one: three columns while it crosses one side of rows at x = 2.
    EXPECT_THAT(cells_of({{0.5, 3.25}, {3.5, 2.75}}, grid), ElementsAre(0, 1, 2, 7, 8));
    // Along a side: those to the south and east.
    EXPECT_THAT(cells_of({{0.5, 3.0}, {1.5, 3.0}}, grid), ElementsAre(5, 6));
    EXPECT_THAT(cells_of({{1.0, 3.5}, {1.0, 2.5}}, grid), ElementsAre(1, 6));
    // There and back.
    EXPECT_THAT(cells_of({{0.5, 3.5}, {2.5, 3.5}, {0.5, 3.5}}, grid), ElementsAre(0, 1, 2));
}

TEST(CellsOfALine, AreThoseOnTheGridAlone) {
    const Grid grid = plain_grid(4, 5);
    EXPECT_THAT(cells_of({{-10.0, 2.5}, {20.0, 2.5}}, grid), ElementsAre(5, 6, 7, 8, 9));
    EXPECT_THAT(cells_of({{1.5, 9.0}, {1.5, 3.5}, {7.0, 3.5}, {7.0, 0.5}, {4.5, 0.5}}, grid),
                ElementsAre(1, 2, 3, 4, 19));
    EXPECT_THAT(cells_of({{-1.0, -1.0}, {6.0, -1.0}}, grid), IsEmpty());
    EXPECT_THAT(cells_of({{-2.0, 1.0}, {1.0, -2.0}}, grid), IsEmpty());  // past a corner, though its box meets the grid
    EXPECT_THAT(cells_of({}, grid), IsEmpty());
}

TEST(CellsOfALine, CostNothingFarAway) {
    const Grid grid = plain_grid(4, 5);
    EXPECT_THAT(cells_of({{-1.0e15, 2.5}, {1.0e15, 2.5}}, grid), ElementsAre(5, 6, 7, 8, 9));
    EXPECT_THAT(cells_of({{0.5, 3.5}, {0.5, -1.0e300}}, grid), ElementsAre(0, 5, 10, 15));
    EXPECT_THAT(cells_of({{-1.0e300, 1.0e300}, {-1.0e300, -1.0e300}}, grid), IsEmpty());
}

TEST(CellsOfLines, AreOfTheReachFarthestDownstream) {
    const Grid grid = plain_grid(3, 5);
    // A short one and a long one meet in the middle of the second row, and the third leaves there to the south.
    const std::vector<Line> lines{{{2.5, 1.5}, {2.5, 0.5}}, {{0.5, 1.5}, {2.5, 1.5}}, {{4.5, 1.5}, {2.5, 1.5}}};
    EXPECT_THAT(channel_of(lines, ReachTree({kNoReach, 0, 0}), grid),
                ElementsAre(ChannelCell{5, 1}, ChannelCell{6, 1}, ChannelCell{7, 0}, ChannelCell{8, 2},
                            ChannelCell{9, 2}, ChannelCell{12, 0}));
    // The other way round the middle is that of the last of the heads' common end.
    EXPECT_THAT(channel_of(lines, ReachTree({1, 2, kNoReach}), grid),
                ElementsAre(ChannelCell{5, 1}, ChannelCell{6, 1}, ChannelCell{7, 2}, ChannelCell{8, 2},
                            ChannelCell{9, 2}, ChannelCell{12, 0}));
    EXPECT_THROW(static_cast<void>(channel_of(lines, ReachTree({kNoReach}), grid)), Error);
}

// How far the segment lies within the box, as shares of its length; begin above end where it does not meet it. The box
// is grown by `by`.
std::array<double, 2> shares_in(Point from, Point to, const Box& box, double by) {
    std::array<double, 2> shares{0.0, 1.0};
    const auto cut = [&](double a, double b, double low, double high) {
        if (a == b) {
            shares[1] = a < low || a > high ? -1.0 : shares[1];
            return;
        }
        const double first = (low - a) / (b - a);
        const double second = (high - a) / (b - a);
        shares[0] = std::max(shares[0], std::min(first, second));
        shares[1] = std::min(shares[1], std::max(first, second));
    };
    cut(from.x, to.x, box.x_min - by, box.x_max + by);
    cut(from.y, to.y, box.y_min - by, box.y_max + by);
    return shares;
}

bool meets(const Line& line, const Box& box, double by) {
    for (std::size_t i = 0; i + 1 < line.size(); ++i) {
        const auto [begin, end] = shares_in(line[i], line[i + 1], box, by);
        if (begin <= end) {
            return true;
        }
    }
    return false;
}

Box box_of(const Grid& grid, CellNumber cell) {
    const Point centre = grid.centre({cell / grid.cols, cell % grid.cols});
    return {centre.x - grid.cell_width / 2.0, centre.y - grid.cell_height / 2.0, centre.x + grid.cell_width / 2.0,
            centre.y + grid.cell_height / 2.0};
}

Line random_line(RandomNumbers& random, const Grid& grid, int points, double beyond) {
    Line line;
    const Box box = grid.extent().grown(beyond, beyond);
    for (int i = 0; i < points; ++i) {
        line.push_back({random.between(box.x_min, box.x_max), random.between(box.y_min, box.y_max)});
    }
    return line;
}

Grid random_grid(RandomNumbers& random) {
    return {random.between(-1e5, 1e5), random.between(-1e5, 1e5), random.between(0.5, 30.0),
            random.between(0.5, 30.0), random.whole(1, 20),       random.whole(1, 20)};
}

// What is reached from the first of the cells over their sides.
std::size_t hanging_together(const std::set<CellNumber>& cells, const Grid& grid) {
    std::set<CellNumber> reached{*cells.begin()};
    std::vector<CellNumber> next{*cells.begin()};
    while (!next.empty()) {
        const CellNumber cell = next.back();
        next.pop_back();
        testing::visit_around(grid, cell, [&](std::size_t near, std::size_t way) {
            const auto to = static_cast<CellNumber>(near);
            if (!kWays[way].diagonal() && cells.contains(to) && reached.insert(to).second) {
                next.push_back(to);
            }
        });
    }
    return reached.size();
}

// Against a clip of every cell: none that is not touched, none left out that the line is truly within.
TEST(CellsOfALine, AreAllThatItPassesOnRandomGrids) {
    RandomNumbers random(31);
    for (int i = 0; i < 300 && !::testing::Test::HasFailure(); ++i) {
        const Grid grid = random_grid(random);
        const Line line = random_line(random, grid, random.whole(2, 6), i % 2 == 0 ? 0.0 : 100.0);
        const std::vector<CellNumber> listed = cells_of(line, grid);
        const std::set<CellNumber> cells(listed.begin(), listed.end());
        EXPECT_EQ(cells.size(), listed.size());
        for (CellNumber cell = 0; cell < static_cast<CellNumber>(grid.rows * grid.cols); ++cell) {
            const Box box = box_of(grid, cell);
            if (cells.contains(cell)) {
                EXPECT_TRUE(meets(line, box, 1e-6)) << cell;
            } else {
                EXPECT_FALSE(meets(line, box, -1e-6)) << cell;
            }
        }
        EXPECT_TRUE(listed.empty() || listed.back() < static_cast<CellNumber>(grid.rows * grid.cols));
        if (i % 2 == 0) {  // within the grid
            EXPECT_EQ(hanging_together(cells, grid), cells.size());
        }
        if (i % 2 == 0 && line.size() == 2) {
            const auto from = grid.cell_at(line[0]).value();
            const auto to = grid.cell_at(line[1]).value();
            // As many as sides are crossed: from cell to cell over one each.
            EXPECT_EQ(static_cast<std::int64_t>(cells.size()),
                      std::abs(from.row - to.row) + std::abs(from.col - to.col) + 1);
        }
    }
}

TEST(CellsOfLines, AreThoseOfEachWithTheLastDownstreamInCommonOnes) {
    RandomNumbers random(32);
    for (int i = 0; i < 100 && !::testing::Test::HasFailure(); ++i) {
        const Grid grid = random_grid(random);
        std::vector<Line> lines;
        std::vector<std::uint32_t> next;
        for (int k = 0; k < 8; ++k) {
            lines.push_back(random_line(random, grid, random.whole(1, 4), 5.0));
            next.push_back(k == 0 || random.chance(0.2) ? kNoReach
                                                        : static_cast<std::uint32_t>(random.whole(0, k - 1)));
        }
        const ReachTree tree(next);
        std::map<CellNumber, std::uint32_t> expected;
        for (const std::uint32_t reach : tree.upstream_first()) {
            for (const CellNumber cell : cells_of(lines[reach], grid)) {
                expected[cell] = reach;
            }
        }
        std::map<CellNumber, std::uint32_t> found;
        for (const ChannelCell& one : channel_of(lines, tree, grid)) {
            EXPECT_TRUE(found.try_emplace(one.cell, one.reach).second);
        }
        EXPECT_EQ(found, expected);
    }
}

// Above 0 where c is to the left of the way from a to b. Exact for quarters.
double side_of(Point a, Point b, Point c) {
    return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

bool cross(Point a, Point b, Point c, Point d) {
    return side_of(a, b, c) * side_of(a, b, d) < 0.0 && side_of(c, d, a) * side_of(c, d, b) < 0.0;
}

// Lines of whole quarters run through corners, along sides and through centres.
TEST(CellsOfALine, AreMetByEveryWayThatCrossesIt) {
    RandomNumbers random(33);
    int crossings = 0;
    for (int i = 0; i < 400 && !::testing::Test::HasFailure(); ++i) {
        Surface<float> surface = testing::random_ground<float>(random, 9, i % 2 == 0 ? 0.05 : 0.0);
        fill_depressions(surface);
        const FlowDirections directions = flow_directions(surface, sides_in_plane(surface.grid, 1.0));
        const Grid& grid = directions.grid;
        Line line;
        for (int k = random.whole(2, 5); k > 0; --k) {
            line.push_back({0.25 * random.whole(-4, 4 * static_cast<int>(grid.cols) + 4),
                            0.25 * random.whole(-4, 4 * static_cast<int>(grid.rows) + 4)});
        }
        const std::vector<CellNumber> listed = cells_of(line, grid);
        const std::set<CellNumber> cells(listed.begin(), listed.end());
        for (CellNumber cell = 0; cell < directions.ways.size(); ++cell) {
            const auto to = directions.downstream(cell);
            if (!to) {
                continue;
            }
            const Point a = grid.centre(directions.place_of(cell));
            const Point b = grid.centre(directions.place_of(*to));
            for (std::size_t k = 0; k + 1 < line.size(); ++k) {
                if (cross(a, b, line[k], line[k + 1])) {
                    ++crossings;
                    EXPECT_TRUE(cells.contains(cell) || cells.contains(*to));
                }
            }
        }
    }
    EXPECT_GT(crossings, 1000);
}

}  // namespace
}  // namespace eaveshed
