// method.md 7.14: reaches of the ground's own streams.
#include "eaveshed/flow/derived_streams.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <set>

#include "eaveshed/core/error.hpp"
#include "eaveshed/flow/fill.hpp"
#include "flow/ground.hpp"

namespace eaveshed {
namespace {

using testing::drawn_ways;
using ::testing::ElementsAre;
using testing::RandomNumbers;
using testing::streams_of;
using testing::valley;

TEST(DerivedStreams, RunFromHeadsToConfluencesToTheOutlet) {
    const DerivedStreams found = streams_of(valley(), 6.0);
    ASSERT_EQ(found.reaches.size(), 3U);
    EXPECT_THAT(found.reaches[0].cells, ElementsAre(11, 17));
    EXPECT_THAT(found.reaches[1].cells, ElementsAre(13, 17));
    EXPECT_THAT(found.reaches[2].cells, ElementsAre(17, 22));
    EXPECT_THAT(found.tree.upstream_first(), ElementsAre(0, 1, 2));
    EXPECT_EQ(found.tree.next(0), 2U);
    EXPECT_EQ(found.tree.next(1), 2U);
    EXPECT_EQ(found.tree.next(2), kNoReach);
    EXPECT_EQ(found.tree.strahler(0), 1);
    EXPECT_EQ(found.tree.strahler(2), 2);
    EXPECT_EQ(found.reaches[0].area_m2, 6.0);
    EXPECT_EQ(found.reaches[2].area_m2, 25.0);
}

TEST(DerivedStreams, TakeMoreCellsForASmallerArea) {
    const DerivedStreams found = streams_of(valley(), 3.0);
    ASSERT_EQ(found.reaches.size(), 4U);
    // By their first cells: 11, 12, 13, 17. Those above 11 and 13 drain two cells and no more.
    EXPECT_THAT(found.reaches[1].cells, ElementsAre(12, 17));
    EXPECT_EQ(found.tree.next(1), 3U);
    EXPECT_EQ(found.tree.strahler(3), 2);
}

TEST(DerivedStreams, AreOneWithoutAConfluence) {
    const DerivedStreams found = streams_of(valley(), 20.0);
    ASSERT_EQ(found.reaches.size(), 1U);
    EXPECT_THAT(found.reaches[0].cells, ElementsAre(17, 22));
    EXPECT_EQ(found.reaches[0].own, 2U);
}

TEST(DerivedStreams, AreNoneWhereOnlyTheOutletIsOne) {
    EXPECT_TRUE(streams_of(valley(), 21.0).reaches.empty());
    EXPECT_TRUE(streams_of(valley(), 1000.0).reaches.empty());
}

TEST(DerivedStreams, HaveLinesThroughTheCentresAndTrueLengths) {
    const FlowDirections directions = valley(3.0, 4.0);
    const DerivedStreams found = streams_of(directions, 72.0);
    ASSERT_EQ(found.reaches.size(), 3U);
    EXPECT_THAT(line_of(found.reaches[0], directions.grid), ElementsAre(Point{1.5, 2.5}, Point{2.5, 1.5}));
    EXPECT_EQ(found.reaches[0].length_m, 5.0);
    EXPECT_EQ(found.reaches[2].length_m, 4.0);
    EXPECT_EQ(found.reaches[2].area_m2, 300.0);
}

TEST(DerivedStreams, ThatMeetAtTheOutletEndThere) {
    const DerivedStreams found = streams_of(drawn_ways({"292", "193", "084"}), 2.0);
    ASSERT_EQ(found.reaches.size(), 2U);
    EXPECT_THAT(found.reaches[0].cells, ElementsAre(3, 7));
    EXPECT_THAT(found.reaches[1].cells, ElementsAre(5, 7));
    EXPECT_THAT(found.tree.outlets(), ElementsAre(0, 1));
    EXPECT_EQ(found.reaches[0].own, 2U);  // of two that drain as much the first
    EXPECT_EQ(found.reaches[1].own, 1U);
    const DerivedStreams uneven = streams_of(drawn_ways({"29222", "19233", "08444"}), 2.0);
    const std::vector<std::uint32_t> outlets = uneven.tree.outlets();
    ASSERT_EQ(outlets.size(), 2U);
    EXPECT_EQ(uneven.reaches[outlets[0]].area_m2, 2.0);
    EXPECT_EQ(uneven.reaches[outlets[0]].own, 1U);
    EXPECT_EQ(uneven.reaches[outlets[1]].own, 2U);
}

// Each reach from the definitions.
TEST(DerivedStreams, AreTheDefinitionsOnRandomGround) {
    RandomNumbers random(10);
    for (int i = 0; i < 400; ++i) {
        Surface<float> surface = testing::random_ground<float>(random, 12, i % 2 == 0 ? 0.05 : 0.0);
        fill_depressions(surface);
        const FlowDirections directions = flow_directions(surface, sides_in_plane(surface.grid, 1.0));
        const Accumulation sums = accumulate(directions);
        const double least_m2 = random.whole(1, 8);
        const DerivedStreams streams = derive_streams(directions, sums, least_m2);
        std::set<CellNumber> in_lines;
        std::set<CellNumber> owned;
        for (std::uint32_t r = 0; r < streams.reaches.size(); ++r) {
            const DerivedReach& reach = streams.reaches[r];
            ASSERT_GE(reach.cells.size(), 2U);
            for (std::size_t k = 0; k < reach.cells.size(); ++k) {
                EXPECT_GE(sums.area_at(reach.cells[k]), least_m2);
                in_lines.insert(reach.cells[k]);
                if (k > 0) {
                    EXPECT_EQ(directions.downstream(reach.cells[k - 1]), reach.cells[k]);
                }
                if (k < reach.own) {
                    EXPECT_TRUE(owned.insert(reach.cells[k]).second) << "a cell of two reaches";
                }
            }
            const std::uint32_t next = streams.tree.next(r);
            if (next != kNoReach) {
                EXPECT_EQ(streams.reaches[next].cells.front(), reach.cells.back());
                EXPECT_GE(streams.tree.inflows(next).size(), 2U);
            } else {
                EXPECT_FALSE(directions.downstream(reach.cells.back()));
            }
        }
        // Every channel cell with a neighbour of its stream stands in a line, and every cell of a line is some reach's.
        EXPECT_EQ(in_lines, owned);
        for (CellNumber cell = 0; cell < directions.ways.size(); ++cell) {
            const bool channel = directions.ways[cell] != kNoGround && sums.area_at(cell) >= least_m2;
            if (channel && directions.downstream(cell)) {
                EXPECT_TRUE(in_lines.contains(cell));
            }
        }
        if (HasFailure()) {
            return;
        }
    }
}

TEST(DerivedStreams, NeedAnArea) {
    const FlowDirections directions = valley();
    EXPECT_THROW(static_cast<void>(streams_of(directions, 0.0)), Error);
    EXPECT_THROW(static_cast<void>(derive_streams(directions, Accumulation{}, 1.0)), Error);
}

}  // namespace
}  // namespace eaveshed
