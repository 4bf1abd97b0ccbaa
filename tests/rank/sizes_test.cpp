// method.md 8.11 to 8.13: the enrolment plan where each parcel has several sizes to choose from.
#include <gtest/gtest.h>

#include <algorithm>
#include <set>
#include <string>
#include <vector>

#include "eaveshed/rank/selection.hpp"
#include "rank/size_samples.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

using testing::in_steps;
using testing::in_whole_numbers;
using testing::kHundredths;
using testing::kNanolitres;
using testing::least_cost_of_sizes;
using testing::most_gain_of_sizes;
using testing::random_sizes;
using testing::SizedOffers;
using testing::Sum;

void expect_one_size_a_parcel(const SizedOffers& offers, const EnrolmentPlan& plan) {
    std::set<std::string_view> parcels;
    Sum sum;
    for (const std::size_t i : plan.chosen) {
        EXPECT_TRUE(parcels.insert(offers.list[i].parcel_id).second);
        sum.cost += offers.list[i].cost;
        sum.gain += offers.list[i].gain;
    }
    EXPECT_EQ(plan.cost, sum.cost);
    EXPECT_EQ(plan.gain, sum.gain);
}

EnrolmentPlan most_gain_in_steps(const SizedOffers& offers, double budget, const SelectionLimits& limits = {}) {
    return in_whole_numbers(most_gain(in_steps(offers.list), budget / kHundredths, 0.0, limits), kNanolitres);
}

EnrolmentPlan least_cost_in_steps(const SizedOffers& offers, double target, const SelectionLimits& limits = {}) {
    return in_whole_numbers(least_cost(in_steps(offers.list), target / kNanolitres, 0.0, limits), kHundredths);
}

TEST(PlanOverSizes, OfMostGainAgreesWithTryingEveryCombination) {
    testing::RandomNumbers random(21);
    for (int round = 0; round < 2000; ++round) {
        const SizedOffers offers = random_sizes(random, random.whole(1, 6), 4);
        const double budget = random.whole(0, 150);
        const Sum expected = most_gain_of_sizes(offers, budget);
        const EnrolmentPlan plan = most_gain_in_steps(offers, budget);
        ASSERT_EQ(plan.gain, expected.gain) << round;
        ASSERT_EQ(plan.cost, expected.cost) << round;
        EXPECT_TRUE(plan.proven);
        EXPECT_EQ(plan.bound, expected.gain);
        expect_one_size_a_parcel(offers, plan);
    }
}

TEST(PlanOverSizes, OfLeastCostAgreesWithTryingEveryCombination) {
    testing::RandomNumbers random(22);
    for (int round = 0; round < 2000; ++round) {
        const SizedOffers offers = random_sizes(random, random.whole(1, 6), 4);
        const double target = random.whole(0, 150);
        const auto expected = least_cost_of_sizes(offers, target);
        const EnrolmentPlan plan = least_cost_in_steps(offers, target);
        ASSERT_EQ(plan.reached, expected.has_value()) << round;
        if (expected) {
            ASSERT_EQ(plan.cost, expected->cost) << round;
            ASSERT_EQ(plan.gain, expected->gain) << round;
            EXPECT_TRUE(plan.proven);
        }
        expect_one_size_a_parcel(offers, plan);
    }
}

// The worked example of the multiple-choice knapsack: two machines for each of three jobs. By hand: with 10 to spend
// the best is 4 + 3 + 3 for 5 + 4 + 6.
TEST(PlanOverSizes, ExchangesASmallerSizeForALargerOneElsewhere) {
    const std::vector<EnrolmentOffer> offers{{"a", 2, 3}, {"a", 4, 5}, {"b", 3, 4},
                                             {"b", 7, 8}, {"c", 3, 6}, {"c", 5, 7}};
    const EnrolmentPlan plan = most_gain(offers, 10.0);
    EXPECT_EQ(plan.chosen, (std::vector<std::size_t>{1, 2, 4}));
    EXPECT_EQ(plan.gain, 15.0);
    EXPECT_EQ(plan.cost, 10.0);
    // For a gain of 15 the same; for 16 one size more costs 2 for 1.
    EXPECT_EQ(least_cost(offers, 15.0).chosen, plan.chosen);
    EXPECT_EQ(least_cost(offers, 16.0).cost, 12.0);
}

TEST(PlanOverSizes, LeavesOutASizeThatCostsNoLessAndGainsNoMoreAndOfEqualOnesTheLater) {
    const std::vector<EnrolmentOffer> offers{{"a", 5, 3}, {"a", 5, 3}, {"a", 6, 3}, {"a", 4, 3}, {"a", 4, 3}};
    EXPECT_EQ(most_gain(offers, 100.0).chosen, (std::vector<std::size_t>{3}));
    EXPECT_EQ(gain_curve(offers).size(), 1U);
}

TEST(PlanOverSizes, ALargerBudgetNeverGainsLess) {
    testing::RandomNumbers random(23);
    for (int round = 0; round < 60; ++round) {
        const SizedOffers offers = random_sizes(random, 15, 5);
        double before = -1.0;
        for (double budget = 0.0; budget < 300.0; budget += 7.0) {
            const double gain = most_gain_in_steps(offers, budget).gain;
            EXPECT_GE(gain, before);
            before = gain;
        }
    }
}

TEST(PlanOverSizes, OneMoreSizeNeverLowersThePlan) {
    testing::RandomNumbers random(24);
    for (int round = 0; round < 300; ++round) {
        SizedOffers offers = random_sizes(random, 12, 4);
        const double budget = random.whole(0, 250);
        const double gain = most_gain_in_steps(offers, budget).gain;
        offers.list.push_back({offers.ids[static_cast<std::size_t>(random.whole(0, 11))],
                               static_cast<double>(random.whole(0, 40)), static_cast<double>(random.whole(0, 40))});
        EXPECT_GE(most_gain_in_steps(offers, budget).gain, gain);
    }
}

TEST(PlanOverSizes, BracketsTheOptimumWhereverTheSearchIsCutShort) {
    testing::RandomNumbers random(25);
    int cut_short = 0;
    for (int round = 0; round < 3000; ++round) {
        const SizedOffers offers = random_sizes(random, 6, 4);
        const double budget = random.whole(20, 120);
        const SelectionLimits limits{.visits = static_cast<std::uint64_t>(random.whole(0, 60)),
                                     .trail = static_cast<std::size_t>(random.whole(0, 30))};
        const double best = most_gain_of_sizes(offers, budget).gain;
        const EnrolmentPlan plan = most_gain_in_steps(offers, budget, limits);
        EXPECT_LE(plan.gain, best);
        EXPECT_GE(plan.bound, best);
        EXPECT_LE(plan.cost, budget);
        cut_short += plan.proven ? 0 : 1;
        const EnrolmentPlan cheap = least_cost_in_steps(offers, 30.0, limits);
        if (cheap.reached) {
            EXPECT_LE(cheap.bound, least_cost_of_sizes(offers, 30.0)->cost);
            EXPECT_GE(cheap.gain, 30.0);
        }
    }
    EXPECT_GT(cut_short, 50);
}

TEST(CurveOverSizes, IsAnExactOptimumAtEachOfItsPoints) {
    testing::RandomNumbers random(26);
    for (int round = 0; round < 200; ++round) {
        const SizedOffers offers = random_sizes(random, 6, 4);
        Sum before;
        for (const CurvePoint& point : gain_curve(offers.list)) {
            EXPECT_GE(point.cost, before.cost);
            EXPECT_GT(point.gain, before.gain);
            before = {point.cost, point.gain};
            EXPECT_TRUE(point.cost == 0.0 || most_gain_of_sizes(offers, point.cost).gain == point.gain);
        }
    }
}

}  // namespace
}  // namespace eaveshed
