// method.md 7.15: what comes together downstream.
#include "eaveshed/stream/reach_tree.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <limits>

#include "eaveshed/core/error.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

using ::testing::ElementsAre;
using testing::RandomNumbers;

TEST(ReachTree, GoesFromHeadsToOutlets) {
    // 3 and 0 meet in 2, which flows into 4; 1 is a creek by itself.
    const ReachTree tree({2, kNoReach, 4, 2, kNoReach});
    EXPECT_THAT(tree.upstream_first(), ElementsAre(0, 1, 3, 2, 4));
    EXPECT_THAT(tree.outlets(), ElementsAre(1, 4));
    EXPECT_THAT(tree.inflows(2), ElementsAre(0, 3));
    EXPECT_THAT(tree.inflows(0), ElementsAre());
    EXPECT_THAT(tree.upstream_of(4), ElementsAre(0, 2, 3, 4));
    EXPECT_THAT(tree.upstream_of(3), ElementsAre(3));
    EXPECT_EQ(tree.outlet_of(0), 4U);
    EXPECT_EQ(tree.outlet_of(1), 1U);
}

// Walked one by one these ways come to 2e10 steps.
TEST(ReachTree, KnowsTheOutletsOfALongChain) {
    constexpr std::uint32_t kReaches = 200000;
    std::vector<std::uint32_t> next(kReaches);
    for (std::uint32_t i = 0; i < kReaches; ++i) {
        next[i] = i == 0 ? kNoReach : i - 1;
    }
    const ReachTree tree(next);
    for (std::uint32_t i = 0; i < kReaches; ++i) {
        ASSERT_EQ(tree.outlet_of(i), 0U);
    }
}

TEST(ReachTree, NumbersOrdersAfterStrahler) {
    // Two heads make a 2; a head joining it leaves a 2; two 2 make a 3; three heads at once make a 2.
    const ReachTree tree({2, 2, 4, 4, 8, 7, 7, 8, kNoReach, 12, 12, 12, kNoReach});
    EXPECT_EQ(tree.strahler(0), 1);
    EXPECT_EQ(tree.strahler(2), 2);
    EXPECT_EQ(tree.strahler(4), 2);
    EXPECT_EQ(tree.strahler(7), 2);
    EXPECT_EQ(tree.strahler(8), 3);
    EXPECT_EQ(tree.strahler(12), 2);
}

TEST(ReachTree, NumbersTheSameWhoeverJoinsFirst) {
    // Orders 1, 2, 1 into one reach, in each order of their numbers.
    EXPECT_EQ(ReachTree({2, 2, 5, 5, 5, kNoReach}).strahler(5), 2);
    EXPECT_EQ(ReachTree({4, 3, 3, 4, kNoReach}).strahler(4), 2);
    EXPECT_EQ(ReachTree({4, 4, 3, kNoReach, 3}).strahler(3), 2);
}

TEST(ReachTree, OfNothingIsEmpty) {
    const ReachTree tree(std::vector<std::uint32_t>{});
    EXPECT_EQ(tree.size(), 0U);
    EXPECT_TRUE(tree.outlets().empty());
    EXPECT_TRUE(tree.accumulated({}).empty());
    EXPECT_EQ(ReachTree().size(), 0U);
}

TEST(ReachTree, RefusesLoopsAndReachesThatAreNotThere) {
    EXPECT_THROW(ReachTree({1, 0}), Error);
    EXPECT_THROW(ReachTree({0}), Error);
    EXPECT_THROW(ReachTree({7}), Error);
    const ReachTree tree({kNoReach});
    EXPECT_THROW(static_cast<void>(tree.upstream_of(1)), Error);
    EXPECT_THROW(static_cast<void>(tree.accumulated(std::vector<double>{1.0, 2.0})), Error);
}

TEST(Gain, AddsDownstream) {
    const ReachTree tree({2, kNoReach, 4, 2, kNoReach});
    EXPECT_THAT(tree.accumulated(std::vector<double>{1.0, 2.0, 4.0, 8.0, 16.0}),
                ElementsAre(1.0, 2.0, 13.0, 8.0, 29.0));
}

TEST(Gain, OfOffersIsAddedInTheirOrder) {
    const std::vector<ReachGain> offers{{1, 0.1}, {0, 5.0}, {kNoReach, 9.0}, {1, 0.2}, {1, 0.3}};
    EXPECT_THAT(local_gains_lps(3, offers), ElementsAre(5.0, (0.1 + 0.2) + 0.3, 0.0));
    EXPECT_THROW(static_cast<void>(local_gains_lps(1, offers)), Error);
}

TEST(Gain, IsAShareOfALowFlowThatIsKnown) {
    EXPECT_EQ(share_of_low_flow(0.5, 10.0), 0.05);
    EXPECT_EQ(share_of_low_flow(0.0, 10.0), 0.0);
    EXPECT_EQ(share_of_low_flow(0.5, std::nullopt), std::nullopt);
    EXPECT_EQ(share_of_low_flow(0.5, 0.0), std::nullopt);
    EXPECT_EQ(share_of_low_flow(0.5, -1.0), std::nullopt);
    EXPECT_EQ(share_of_low_flow(0.5, std::numeric_limits<double>::quiet_NaN()), std::nullopt);
}

// A forest in which each reach flows into a later one of a shuffled row, or out.
std::vector<std::uint32_t> random_forest(RandomNumbers& random, int size) {
    std::vector<std::uint32_t> row(static_cast<std::size_t>(size));
    for (std::uint32_t i = 0; i < row.size(); ++i) {
        row[i] = i;
    }
    for (int i = size - 1; i > 0; --i) {
        std::swap(row[static_cast<std::size_t>(i)], row[static_cast<std::size_t>(random.whole(0, i))]);
    }
    std::vector<std::uint32_t> next(row.size(), kNoReach);
    for (int i = 0; i + 1 < size; ++i) {
        if (!random.chance(0.1)) {
            next[row[static_cast<std::size_t>(i)]] =
                row[static_cast<std::size_t>(random.whole(i + 1, std::min(i + 4, size - 1)))];
        }
    }
    return next;
}

TEST(Gain, AtTheOutletsIsThatOfAllOffers) {
    RandomNumbers random(20);
    for (int i = 0; i < 200; ++i) {
        const std::vector<std::uint32_t> next = random_forest(random, random.whole(1, 60));
        const ReachTree tree(next);
        std::vector<ReachGain> offers;
        double sum = 0.0;
        for (int k = 0; k < 300; ++k) {
            offers.push_back({static_cast<std::uint32_t>(random.whole(0, static_cast<int>(next.size()) - 1)),
                              random.between(0.0, 0.01)});
            sum += offers.back().gain_lps;
        }
        const std::vector<double> local = local_gains_lps(next.size(), offers);
        const std::vector<double> total = tree.accumulated(local);
        double out = 0.0;
        for (const std::uint32_t outlet : tree.outlets()) {
            out += total[outlet];
        }
        EXPECT_NEAR(out, sum, 1e-9);
        // Each total is that of the reaches whose way down comes by, and no total falls on the way.
        for (std::uint32_t reach = 0; reach < next.size(); ++reach) {
            const std::vector<std::uint32_t> upstream = tree.upstream_of(reach);
            double wanted = 0.0;
            for (std::uint32_t other = 0; other < next.size(); ++other) {
                std::uint32_t at = other;
                while (at != kNoReach && at != reach) {
                    at = next[at];
                }
                EXPECT_EQ(std::ranges::binary_search(upstream, other), at == reach);
                wanted += at == reach ? local[other] : 0.0;
            }
            EXPECT_NEAR(total[reach], wanted, 1e-9);
            EXPECT_TRUE(next[reach] == kNoReach || total[next[reach]] >= total[reach]);
        }
    }
}

TEST(ReachTree, PutsEveryReachAfterAllThatFlowIntoIt) {
    RandomNumbers random(21);
    for (int i = 0; i < 200; ++i) {
        const std::vector<std::uint32_t> next = random_forest(random, random.whole(1, 80));
        const ReachTree tree(next);
        std::vector<std::size_t> place(next.size());
        for (std::size_t k = 0; k < next.size(); ++k) {
            place[tree.upstream_first()[k]] = k;
        }
        for (std::uint32_t reach = 0; reach < next.size(); ++reach) {
            EXPECT_TRUE(next[reach] == kNoReach || place[reach] < place[next[reach]]);
        }
    }
}

}  // namespace
}  // namespace eaveshed
