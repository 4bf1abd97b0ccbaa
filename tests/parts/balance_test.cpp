#include "eaveshed/parts/balance.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <numeric>
#include <random>

namespace eaveshed {
namespace {

double cost_of(const TileRun& run, const std::vector<double>& costs) {
    const auto first = costs.begin() + static_cast<std::ptrdiff_t>(run.first);
    return std::accumulate(first, first + static_cast<std::ptrdiff_t>(run.count), 0.0);
}

double dearest(const std::vector<TileRun>& runs, const std::vector<double>& costs) {
    double most = 0.0;
    for (const TileRun& run : runs) {
        most = std::max(most, cost_of(run, costs));
    }
    return most;
}

// The cheapest dearest run there is, by trying every way: least[r] over the first `tiles` tiles.
double best_there_is(const std::vector<double>& costs, std::size_t runs) {
    std::vector<double> least(costs.size() + 1, 1e300);
    least[0] = 0.0;
    for (std::size_t run = 0; run < runs; ++run) {
        std::vector<double> next(costs.size() + 1, 1e300);
        for (std::size_t begin = 0; begin <= costs.size(); ++begin) {
            double cost = 0.0;
            for (std::size_t end = begin; end <= costs.size(); ++end) {
                next[end] = std::min(next[end], std::max(least[begin], cost));
                cost += end < costs.size() ? costs[end] : 0.0;
            }
        }
        least = next;
    }
    return least.back();
}

TEST(Balance, EveryTileStandsInOneRunInOrder) {
    std::mt19937 random(7);
    std::exponential_distribution<double> cost(1.0);
    for (int trial = 0; trial < 200; ++trial) {
        std::vector<double> costs(random() % 60);
        std::ranges::generate(costs, [&] { return random() % 5 == 0 ? 0.0 : cost(random); });
        const std::size_t runs = 1 + random() % 20;
        const auto shared = balanced_runs(costs, runs);
        ASSERT_EQ(shared.size(), runs);
        std::size_t next = 0;
        for (const TileRun& run : shared) {
            EXPECT_EQ(run.first, next);
            next += run.count;
            EXPECT_TRUE(run.count > 0 || next == costs.size());
        }
        EXPECT_EQ(next, costs.size());
    }
}

TEST(Balance, NoOtherWayHasACheaperDearestRun) {
    std::mt19937 random(11);
    for (int trial = 0; trial < 100; ++trial) {
        std::vector<double> costs(1 + random() % 14);
        std::ranges::generate(costs, [&] { return static_cast<double>(random() % 50); });
        const std::size_t runs = 1 + random() % 6;
        EXPECT_NEAR(dearest(balanced_runs(costs, runs), costs), best_there_is(costs, runs), 1e-9);
    }
}

TEST(Balance, WithTilesEnoughNoRunIsEmpty) {
    const std::vector<double> costs{100.0, 1.0, 1.0, 1.0, 1.0};
    for (const TileRun& run : balanced_runs(costs, 5)) {
        EXPECT_EQ(run.count, 1U);
    }
    const auto more = balanced_runs(costs, 7);
    EXPECT_EQ(more[4], (TileRun{4, 1}));
    EXPECT_EQ(more[6], (TileRun{5, 0}));
    EXPECT_EQ(balanced_runs({}, 2), (std::vector<TileRun>{{0, 0}, {0, 0}}));
}

}  // namespace
}  // namespace eaveshed
