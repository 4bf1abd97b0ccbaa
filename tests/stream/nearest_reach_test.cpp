// method.md 7.15: the nearest reach.
#include "eaveshed/stream/nearest_reach.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "eaveshed/shape/measure.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

using ::testing::ElementsAre;
using testing::RandomNumbers;

TEST(NearestReach, IsTheLineAndNotItsEnds) {
    const ReachIndex index({{{0.0, 0.0}, {100.0, 0.0}}, {{50.0, 30.0}, {50.0, 90.0}}});
    EXPECT_EQ(index.nearest({20.0, 10.0}), (NearReach{0, 10.0}));
    EXPECT_EQ(index.nearest({50.0, 20.0}), (NearReach{1, 10.0}));
    EXPECT_EQ(index.nearest({70.0, 60.0}), (NearReach{1, 20.0}));
}

TEST(NearestReach, OfTwoAsNearIsTheFirst) {
    const ReachIndex index({{{0.0, 10.0}, {9.0, 10.0}}, {{0.0, -10.0}, {9.0, -10.0}}, {{0.0, 10.0}, {9.0, 10.0}}});
    EXPECT_EQ(index.nearest({4.0, 0.0}), (NearReach{0, 10.0}));
}

TEST(NearestReach, IsFoundFromFarAway) {
    const ReachIndex index({{{0.0, 0.0}, {1.0, 0.0}}, {}, {{2.0, 0.0}, {2.0, 0.0}}});
    EXPECT_EQ(index.nearest({1e6, 0.0}), (NearReach{2, 1e6 - 2.0}));
    EXPECT_EQ(index.nearest({-3e5, 4e5}), (NearReach{0, 5e5}));
}

TEST(NearestReach, IsNoneWithoutLines) {
    EXPECT_FALSE(ReachIndex().nearest({0.0, 0.0}));
    EXPECT_FALSE(ReachIndex(std::vector<Line>{}).nearest({0.0, 0.0}));
    EXPECT_FALSE(ReachIndex(std::vector<Line>(2)).nearest({0.0, 0.0}));
    EXPECT_TRUE(ReachIndex().within({0.0, 0.0}, 5.0).empty());
    const ReachIndex one({{{0.0, 0.0}, {1.0, 0.0}}});
    const double nowhere = std::numeric_limits<double>::quiet_NaN();
    EXPECT_FALSE(one.nearest({nowhere, 0.0}));
    EXPECT_FALSE(ReachIndex({{{nowhere, nowhere}, {nowhere, 1.0}}}).nearest({0.0, 0.0}));
}

// A hundred by hundred lines of 8 m, 10 m apart.
std::vector<Line> lattice() {
    std::vector<Line> lines;
    for (int i = 0; i < 10000; ++i) {
        const Point from{10.0 * (i % 100), 10.0 * (i / 100)};
        lines.push_back({from, {from.x + 8.0, from.y}});
    }
    return lines;
}

// Two lines that are far away, one of them very long, would have each question look at all of them: 1e9 of them.
TEST(NearestReach, IsFoundAtOnceBesideLinesThatLieFarAway) {
    std::vector<Line> lines = lattice();
    lines.push_back({{1e9, 1e9}, {1e9, 1e9 + 1.0}});
    lines.push_back({{-1e9, -5e8}, {-1e9, 5e8}});
    const ReachIndex index(lines);
    for (int i = 0; i < 100000; ++i) {
        const std::uint32_t line = static_cast<std::uint32_t>(i) % 10000;
        ASSERT_EQ(index.nearest({lines[line][0].x + 4.0, lines[line][0].y + 3.0}), (NearReach{line, 3.0}));
    }
    EXPECT_EQ(index.nearest({1e9, 1e9 - 7.0}), (NearReach{10000, 7.0}));
}

TEST(NearestReach, OfThoseWantedIsTheNearestWithinTheLimit) {
    const ReachIndex index(lattice());
    const auto from_the_third = [](std::uint32_t line) { return line >= 3; };
    EXPECT_EQ(index.nearest({4.0, 0.0}, 30.0, from_the_third), (NearReach{100, 10.0}));
    EXPECT_EQ(index.nearest({4.0, -900.0}, 900.0, from_the_third), std::nullopt);
    EXPECT_EQ(index.nearest({4.0, 0.0}, 10.0, from_the_third), (NearReach{100, 10.0}));
    EXPECT_EQ(index.nearest({4.0, 0.0}, 9.9, from_the_third), std::nullopt);
    EXPECT_EQ(index.nearest({4.0, 0.0}, 0.0, [](std::uint32_t) { return true; }), (NearReach{0, 0.0}));
    EXPECT_EQ(index.nearest({4.0, 0.0}, 1e300, [](std::uint32_t) { return false; }), std::nullopt);
    // Of two as near the first; far from the first radius.
    EXPECT_EQ(index.nearest({9.0, 0.0}, 1e6, [](std::uint32_t line) { return line % 100 > 40; })->reach, 41U);
}

TEST(ReachesWithin, ComeByDistance) {
    const ReachIndex index({{{0.0, 30.0}, {9.0, 30.0}}, {{0.0, 10.0}, {9.0, 10.0}}, {{0.0, 20.0}, {9.0, 20.0}}});
    EXPECT_THAT(index.within({4.0, 0.0}, 20.0), ElementsAre(NearReach{1, 10.0}, NearReach{2, 20.0}));
    EXPECT_TRUE(index.within({4.0, 0.0}, 9.9).empty());
}

TEST(NearestReach, IsThatOfAPlainSearch) {
    RandomNumbers random(30);
    for (int i = 0; i < 60; ++i) {
        std::vector<Line> lines(static_cast<std::size_t>(random.whole(1, 40)));
        for (Line& line : lines) {
            Point at{random.between(0.0, 5000.0), random.between(0.0, 3000.0)};
            for (int k = random.whole(1, 60); k > 0; --k) {
                line.push_back(at);
                at = {at.x + random.between(-80.0, 100.0), at.y + random.between(-80.0, 90.0)};
            }
        }
        const ReachIndex index(lines);
        for (int k = 0; k < 50; ++k) {
            const Point place{random.between(-4000.0, 9000.0), random.between(-4000.0, 9000.0)};
            NearReach wanted{kNoReach, std::numeric_limits<double>::infinity()};
            for (std::uint32_t line = 0; line < lines.size(); ++line) {
                const double distance_m = distance_to_line(lines[line], place);
                if (distance_m < wanted.distance_m) {
                    wanted = {line, distance_m};
                }
            }
            EXPECT_EQ(index.nearest(place), wanted);
        }
    }
}

}  // namespace
}  // namespace eaveshed
