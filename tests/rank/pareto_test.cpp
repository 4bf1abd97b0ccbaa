// method.md 8.4: Pareto tiers.
#include "eaveshed/rank/pareto.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <limits>
#include <numeric>

#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

using Tiers = std::vector<std::int32_t>;

bool dominates(const double* a, const double* b, std::size_t criteria) {
    bool better = false;
    for (std::size_t i = 0; i < criteria; ++i) {
        if (a[i] < b[i]) {
            return false;
        }
        better = better || a[i] > b[i];
    }
    return better;
}

// By the definition: peel off those that nobody left dominates.
Tiers peeled(const std::vector<double>& values, std::size_t criteria) {
    const std::size_t n = values.size() / criteria;
    Tiers tiers(n, 0);
    std::size_t done = 0;
    for (std::int32_t tier = 1; done < n; ++tier) {
        std::vector<std::size_t> front;
        for (std::size_t a = 0; a < n; ++a) {
            bool free = tiers[a] == 0;
            for (std::size_t b = 0; b < n && free; ++b) {
                free = tiers[b] != 0 || !dominates(&values[b * criteria], &values[a * criteria], criteria);
            }
            if (free) {
                front.push_back(a);
            }
        }
        for (const std::size_t a : front) {
            tiers[a] = tier;
        }
        done += front.size();
    }
    return tiers;
}

std::vector<double> random_table(testing::RandomNumbers& random, std::size_t n, std::size_t criteria, bool coarse) {
    std::vector<double> values;
    for (std::size_t i = 0; i < n * criteria; ++i) {
        values.push_back(coarse ? random.whole(0, 4) : random.between(-1.0, 1.0));
    }
    return values;
}

// R9.6 (derived): less cost, more yield: A(1,1) B(2,3) C(3,3) D(4,5) E(2,2): front A B D.
TEST(ParetoTiers, FindTheFrontOfLeastCostAndMostYield) {
    EXPECT_EQ(pareto_tiers(std::vector<double>{-1, 1, -2, 3, -3, 3, -4, 5, -2, 2}, 2), (Tiers{1, 1, 2, 1, 2}));
}

TEST(ParetoTiers, AgreeWithPeelingByTheDefinition) {
    testing::RandomNumbers random(1);
    for (int round = 0; round < 300; ++round) {
        const auto criteria = static_cast<std::size_t>(random.whole(1, 5));
        const auto n = static_cast<std::size_t>(random.whole(1, 90));
        const std::vector<double> values = random_table(random, n, criteria, round % 2 == 0);
        EXPECT_EQ(pareto_tiers(values, criteria), peeled(values, criteria)) << round;
    }
}

TEST(ParetoTiers, AgreeWithPeelingForManyCandidates) {
    testing::RandomNumbers random(3);
    for (const std::size_t criteria : {2U, 3U, 5U}) {
        const std::vector<double> values = random_table(random, 900, criteria, criteria == 3);
        EXPECT_EQ(pareto_tiers(values, criteria), peeled(values, criteria)) << criteria;
    }
}

TEST(ParetoTiers, OfOneCriterionAreItsDistinctValues) {
    EXPECT_EQ(pareto_tiers(std::vector<double>{3, 5, 5, 1, 3}, 1), (Tiers{2, 1, 1, 3, 2}));
}

TEST(ParetoTiers, DoNotDependOnTheOrderOfCandidatesOrCriteria) {
    testing::RandomNumbers random(2);
    const std::vector<double> values = random_table(random, 500, 4, true);
    const Tiers tiers = pareto_tiers(values, 4);
    std::vector<double> turned(values.rbegin(), values.rend());  // both orders reversed
    Tiers expected(tiers.rbegin(), tiers.rend());
    EXPECT_EQ(pareto_tiers(turned, 4), expected);
}

TEST(ParetoTiers, AreOneForAllWhereEachIsBestAtSomething) {
    std::vector<double> values;
    for (int i = 0; i < 3000; ++i) {
        values.insert(values.end(), {static_cast<double>(i), static_cast<double>(-i)});
    }
    EXPECT_EQ(pareto_tiers(values, 2), Tiers(3000, 1));
}

TEST(ParetoTiers, CountUpAlongAChain) {
    std::vector<double> values;
    Tiers expected(3000);
    for (int i = 0; i < 3000; ++i) {
        values.insert(values.end(), 5, static_cast<double>(-i));
    }
    std::iota(expected.begin(), expected.end(), 1);
    EXPECT_EQ(pareto_tiers(values, 5), expected);
}

TEST(ParetoTiers, OfNobodyAreNone) {
    EXPECT_TRUE(pareto_tiers(std::vector<double>{}, 3).empty());
    EXPECT_TRUE(pareto_tiers(std::vector<ScoreComponents>{}).empty());
}

TEST(ParetoTiers, UseTheComponentsThatEveryCandidateHas) {
    std::vector<ScoreComponents> candidates{
        {.stream_gain_lps = 0.02, .gravity_probability = 0.5, .cost_per_m3 = 900.0},
        {.stream_gain_lps = 0.02, .gravity_probability = 0.5, .cost_per_m3 = 800.0},
        {.stream_gain_lps = 0.03, .cost_per_m3 = 900.0},  // gravity drops out for all
    };
    EXPECT_EQ(pareto_tiers(candidates), (Tiers{2, 1, 1}));
    candidates[2].cost_per_m3.reset();  // only the gain is left
    EXPECT_EQ(pareto_tiers(candidates), (Tiers{2, 2, 1}));
}

TEST(ParetoTiers, GoOnBeyondTheReferenceRange) {
    const std::vector<ScoreComponents> candidates{{.stream_gain_lps = 5.0}, {.stream_gain_lps = 6.0}};
    EXPECT_EQ(pareto_tiers(candidates), (Tiers{2, 1}));
}

TEST(ParetoTiers, RefuseWhatIsNotANumber) {
    const std::vector<double> values{1.0, std::numeric_limits<double>::quiet_NaN()};
    EXPECT_THROW(static_cast<void>(pareto_tiers(values, 2)), std::exception);
}

}  // namespace
}  // namespace eaveshed
