// Whatever anyone may see is of five at least, and no two of it tell of fewer by their difference.
#include "eaveshed/report/public_sums.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <numeric>

#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

TEST(JoinedParts, SmallOnesBecomeOneThatIsLargeEnough) {
    const std::vector<PublicPart> parts{{"a", 40, {400.0}}, {"b", 3, {30.0}}, {"c", 7, {70.0}}, {"d", 2, {20.0}}};
    const auto told = joined_parts(parts, "others");
    ASSERT_EQ(told.size(), 3U);
    EXPECT_EQ(told[2].name, "others");
    EXPECT_EQ(told[2].number, 5U);
    EXPECT_DOUBLE_EQ(told[2].sums[0], 50.0);
}

TEST(JoinedParts, AFewLeftTakeTheSmallestOfTheOthersWithThem) {
    const std::vector<PublicPart> parts{{"a", 40, {400.0}}, {"b", 3, {30.0}}, {"c", 7, {70.0}}};
    const auto told = joined_parts(parts, "others");
    ASSERT_EQ(told.size(), 2U);
    EXPECT_EQ(told[0].name, "a");
    EXPECT_EQ(told[1].number, 10U);
    // A volume whose number is not counted may be one parcel's.
    EXPECT_EQ(
        joined_parts(std::vector<PublicPart>{{"a", 40, {400.0}}, {"b", 0, {30.0}}, {"c", 7, {70.0}}}, "o")[1].number,
        7U);
    EXPECT_TRUE(joined_parts(std::vector<PublicPart>{{"a", 3, {1.0}}, {"b", 1, {1.0}}}, "o").empty());
}

TEST(JoinedParts, NeverTellOfFewerThanFiveAndLoseNothing) {
    testing::RandomNumbers random(11);
    for (int round = 0; round < 500; ++round) {
        std::vector<PublicPart> parts;
        std::size_t all = 0;
        for (int i = random.whole(1, 8); i > 0; --i) {
            const auto number = static_cast<std::size_t>(random.whole(0, random.chance(0.5) ? 6 : 60));
            parts.push_back({"p" + std::to_string(i), number, {static_cast<double>(number)}});
            all += number;
        }
        const auto told = joined_parts(parts, "others");
        std::size_t sum = 0;
        for (const PublicPart& part : told) {
            EXPECT_GE(part.number, kLeastOfACell);
            EXPECT_DOUBLE_EQ(part.sums[0], static_cast<double>(part.number));
            sum += part.number;
        }
        EXPECT_TRUE(sum == all || (sum == 0 && all < kLeastOfACell));
    }
}

TEST(PublicGrid, HasNoSmallCellAndLeavesOutNoSmallRest) {
    testing::RandomNumbers random(5);
    for (int round = 0; round < 60; ++round) {
        std::vector<Point> places;
        std::vector<double> values;
        const int number = random.whole(5, 400);
        for (int i = 0; i < number; ++i) {
            const double spread = random.chance(0.8) ? 300.0 : 6000.0;
            places.push_back({500'000.0 + random.between(0.0, spread), 4'190'000.0 + random.between(0.0, spread)});
            values.push_back(random.between(0.0, 1.0));
        }
        const PublicGrid grid = public_grid(places, values, {}, 100.0);
        std::size_t told = grid.left_out;
        EXPECT_TRUE(may_be_told(grid.left_out)) << grid.left_out;
        for (const PublicCell& cell : grid.cells) {
            EXPECT_GE(cell.number, kLeastOfACell);
            told += cell.number;
            std::size_t inside = 0;
            double sum = 0.0;
            for (std::size_t i = 0; i < places.size(); ++i) {
                // Half-open: western and northern edges belong to the cell.
                if (places[i].x >= cell.box.x_min && places[i].x < cell.box.x_max && places[i].y > cell.box.y_min &&
                    places[i].y <= cell.box.y_max) {
                    ++inside;
                    sum += values[i];
                }
            }
            EXPECT_EQ(inside, cell.number);
            EXPECT_NEAR(sum, cell.sum, 1e-9);
            // Its lines say nothing of where somebody lives.
            EXPECT_NEAR(std::remainder(cell.box.x_min, grid.side_m), 0.0, 1e-6);
            EXPECT_NEAR(std::remainder(cell.box.y_max, grid.side_m), 0.0, 1e-6);
        }
        EXPECT_EQ(told, places.size());
        EXPECT_GE(grid.side_m, 100.0);
    }
}

TEST(PublicGrid, TakesTheSmallestRoundSideThatTellsOfMost) {
    std::vector<Point> places;
    for (int i = 0; i < 1000; ++i) {  // ten in each square of 100 m
        places.push_back({10.0 * (i % 100) + 5.0, 100.0 * (i / 100) + 50.0});
    }
    const std::vector<double> values(places.size(), 1.0);
    EXPECT_DOUBLE_EQ(public_grid(places, values, {}, 100.0).side_m, 100.0);
    EXPECT_DOUBLE_EQ(public_grid(places, values, {}, 150.0).side_m, 200.0);
    EXPECT_TRUE(public_grid({}, {}, {}, 100.0).cells.empty());
}

TEST(PublicCurve, HasNoStepOfFewerThanFive) {
    GainCurve curve;
    for (std::size_t i = 0; i <= 23; ++i) {
        curve.points.push_back({static_cast<double>(i), 2.0 * static_cast<double>(i)});
        curve.joined.push_back(i);
    }
    const GainCurve told = public_curve(curve);
    ASSERT_EQ(told.joined.size(), told.points.size());
    EXPECT_THAT(told.joined, ::testing::ElementsAre(0, 5, 10, 15, 23));
    EXPECT_DOUBLE_EQ(told.points.back().y, 46.0);
}

}  // namespace
}  // namespace eaveshed
