// The enrolment plan where the search for the best choice is cut short.
#include <gtest/gtest.h>

#include "eaveshed/rank/selection.hpp"
#include "rank/offer_samples.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

using testing::in_steps;
using testing::in_whole_numbers;
using testing::kHundredths;
using testing::kNanolitres;
using testing::most_gain_of_all;
using testing::Offers;
using testing::random_offers;

// Even costs, an odd budget and gain = cost: every choice leaves a rest, which takes long to prove.
Offers stubborn_offers() {
    testing::RandomNumbers random(4);
    Offers offers;
    for (int i = 0; i < 60; ++i) {
        offers.ids.push_back("p" + std::to_string(i));
    }
    for (const std::string& id : offers.ids) {
        const double amount = 2.0 * random.whole(1'000'000, 9'000'000);
        offers.list.push_back({id, amount / 100.0, amount / 1e9});
    }
    return offers;
}

TEST(Enrolment, StatesTheGapWhereTheSearchIsCutShort) {
    const Offers offers = stubborn_offers();
    for (const std::uint64_t visits : {0U, 100U, 100000U}) {
        const EnrolmentPlan plan = most_gain(offers.list, 2'000'000.01, 0.0, {.visits = visits, .trail = 1000000});
        EXPECT_FALSE(plan.proven);
        EXPECT_LE(plan.cost, 2'000'000.01);
        EXPECT_GT(plan.bound, plan.gain);
        EXPECT_NEAR(plan.gap, (plan.bound - plan.gain) / plan.bound, 1e-15);
        EXPECT_LT(plan.gap, 0.05);
        const EnrolmentPlan again = most_gain(offers.list, 2'000'000.01, 0.0, {.visits = visits, .trail = 1000000});
        EXPECT_EQ(again.chosen, plan.chosen);

        const EnrolmentPlan cheap = least_cost(offers.list, 0.200000001, 0.0, {.visits = visits, .trail = 1000000});
        EXPECT_GE(cheap.gain, 0.200000001);
        EXPECT_FALSE(cheap.proven);
        EXPECT_LT(cheap.bound, cheap.cost);
        EXPECT_LT(cheap.gap, 0.05);
    }
}

// Cut short anywhere, the bound stays above the true optimum and the plan below it.
TEST(Enrolment, BracketsTheOptimumWhereverTheSearchIsCutShort) {
    testing::RandomNumbers random(5);
    int cut_short = 0;
    for (int round = 0; round < 6000; ++round) {
        const Offers offers = random_offers(random, 11);
        const double budget = random.whole(20, 120);
        const double best = most_gain_of_all(offers.list, budget).gain;
        const SelectionLimits limits{.visits = static_cast<std::uint64_t>(random.whole(0, 60)),
                                     .trail = static_cast<std::size_t>(random.whole(0, 30))};
        const EnrolmentPlan plan =
            in_whole_numbers(most_gain(in_steps(offers.list), budget / kHundredths, 0.0, limits), kNanolitres);
        EXPECT_LE(plan.gain, best);
        EXPECT_GE(plan.bound, best);
        EXPECT_LE(plan.cost, budget);
        cut_short += plan.proven ? 0 : 1;
    }
    EXPECT_GT(cut_short, 50);
}

}  // namespace
}  // namespace eaveshed
