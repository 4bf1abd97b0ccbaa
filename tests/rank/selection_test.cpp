// method.md 8.11 to 8.13: the enrolment plan and its curve.
#include "eaveshed/rank/selection.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <string>

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
using testing::offers_of;
using testing::random_offers;
using testing::Sum;
using testing::sum_of;

std::optional<Sum> least_cost_of_all(const std::vector<EnrolmentOffer>& offers, double target) {
    std::optional<Sum> best;
    for (unsigned subset = 0; subset < 1U << offers.size(); ++subset) {
        const Sum sum = sum_of(offers, subset);
        if (sum.gain >= target &&
            (!best || sum.cost < best->cost || (sum.cost == best->cost && sum.gain > best->gain))) {
            best = sum;
        }
    }
    return best;
}

std::string ids_of(const Offers& offers, const EnrolmentPlan& plan) {
    std::string ids;
    for (const std::size_t i : plan.chosen) {
        ids += offers.ids[i];
    }
    return ids;
}

void expect_sound(const Offers& offers, const EnrolmentPlan& plan) {
    Sum sum;
    for (const std::size_t i : plan.chosen) {
        EXPECT_GT(offers.list[i].gain, 0.0);
        sum.cost += offers.list[i].cost;
        sum.gain += offers.list[i].gain;
    }
    EXPECT_EQ(plan.cost, sum.cost);
    EXPECT_EQ(plan.gain, sum.gain);
    // Of interchangeable offers the first by id are chosen.
    for (std::size_t a = 0; a < offers.list.size(); ++a) {
        for (std::size_t b = a + 1; b < offers.list.size(); ++b) {
            const bool alike = offers.list[a].cost == offers.list[b].cost && offers.list[a].gain == offers.list[b].gain;
            const auto has = [&](std::size_t i) { return std::count(plan.chosen.begin(), plan.chosen.end(), i) == 1; };
            EXPECT_FALSE(alike && has(b) && !has(a));
        }
    }
}

// R9.3: P02 of the KNAPSACK_01 test problems (FSU; from memory, optimum by enumeration): 51, where greedy ends at 47.
TEST(MostGain, FindsThePublishedOptimumWhereGreedyFails) {
    const Offers offers = offers_of({12, 7, 11, 8, 9}, {24, 13, 23, 15, 16});
    const EnrolmentPlan plan = most_gain(offers.list, 26.0);
    EXPECT_EQ(plan.gain, 51.0);
    EXPECT_EQ(ids_of(offers, plan), "bcd");
    EXPECT_TRUE(plan.proven);
    EXPECT_EQ(plan.bound, 51.0);
    double greedy_gain = 0.0;
    double greedy_cost = 0.0;
    for (const CurvePoint& point : gain_curve(offers.list)) {
        const EnrolmentOffer& next = offers.list[point.offer];
        if (greedy_cost + next.cost <= 26.0) {
            greedy_cost += next.cost;
            greedy_gain += next.gain;
        }
    }
    EXPECT_EQ(greedy_gain, 47.0);
}

// R9.4: P01 of the same collection (from memory, optimum by enumeration): 309 with items 1 2 3 4 6.
TEST(MostGain, FindsThePublishedOptimumOfTenItems) {
    const Offers offers = offers_of({23, 31, 29, 44, 53, 38, 63, 85, 89, 82}, {92, 57, 49, 68, 60, 43, 67, 84, 87, 72});
    const EnrolmentPlan plan = most_gain(offers.list, 165.0);
    EXPECT_EQ(plan.gain, 309.0);
    EXPECT_EQ(ids_of(offers, plan), "abcdf");
}

TEST(MostGain, AgreesWithTryingEverySubset) {
    testing::RandomNumbers random(1);
    for (int round = 0; round < 3000; ++round) {
        const Offers offers = random_offers(random, random.whole(1, 11));
        const double budget = random.whole(0, 200);
        const Sum expected = most_gain_of_all(offers.list, budget);
        const EnrolmentPlan plan =
            in_whole_numbers(most_gain(in_steps(offers.list), budget / kHundredths), kNanolitres);
        EXPECT_EQ(plan.gain, expected.gain) << round;
        EXPECT_EQ(plan.cost, expected.cost) << round;
        EXPECT_TRUE(plan.proven);
        expect_sound(offers, plan);
    }
}

TEST(LeastCost, AgreesWithTryingEverySubset) {
    testing::RandomNumbers random(2);
    for (int round = 0; round < 3000; ++round) {
        const Offers offers = random_offers(random, random.whole(1, 11));
        const double target = random.whole(0, 200);
        const std::optional<Sum> expected = least_cost_of_all(offers.list, target);
        const EnrolmentPlan plan =
            in_whole_numbers(least_cost(in_steps(offers.list), target / kNanolitres), kHundredths);
        EXPECT_EQ(plan.reached, expected.has_value()) << round;
        if (expected) {
            EXPECT_EQ(plan.cost, expected->cost) << round;
            EXPECT_EQ(plan.gain, expected->gain) << round;
            EXPECT_EQ(plan.bound, expected->cost);
        }
        EXPECT_TRUE(plan.proven);
        expect_sound(offers, plan);
    }
}

TEST(LeastCost, ChoosesAllThatHaveAGainWhereTheTargetIsOutOfReach) {
    const Offers offers = offers_of({5, 5, 5}, {1, 0, 2});
    const EnrolmentPlan plan = least_cost(offers.list, 4.0);
    EXPECT_FALSE(plan.reached);
    EXPECT_EQ(ids_of(offers, plan), "ac");
    EXPECT_EQ(plan.gain, 3.0);
}

TEST(Enrolment, CountsTheGainOfThoseEnrolledAlready) {
    const Offers offers = offers_of({12, 7, 11, 8, 9}, {24, 13, 23, 15, 16});
    EXPECT_EQ(most_gain(offers.list, 26.0, 100.0).gain, 151.0);
    EXPECT_EQ(most_gain(offers.list, 26.0, 100.0).bound, 151.0);
    const EnrolmentPlan plan = least_cost(offers.list, 110.0, 100.0);
    EXPECT_EQ(ids_of(offers, plan), "b");
    EXPECT_TRUE(least_cost(offers.list, 110.0, 110.0).chosen.empty());
    EXPECT_EQ(gain_curve(offers.list, 100.0).back().gain, 191.0);
}

TEST(Enrolment, ChoosesTheFirstIdsOfAlikeOffersWhateverTheOrderGiven) {
    const std::vector<EnrolmentOffer> offers{{"z", 5, 3}, {"b", 5, 3}, {"a", 9, 1}, {"y", 5, 3}, {"c", 5, 3}};
    EXPECT_EQ(most_gain(offers, 10.0).chosen, (std::vector<std::size_t>{1, 4}));
    EXPECT_EQ(least_cost(offers, 9.0).chosen, (std::vector<std::size_t>{1, 4, 3}));
    testing::RandomNumbers random(3);
    for (int round = 0; round < 200; ++round) {
        Offers some = random_offers(random, 15);
        const std::string expected = ids_of(some, most_gain(some.list, 100.0));
        std::reverse(some.list.begin(), some.list.end());
        std::string ids;
        for (const std::size_t i : most_gain(some.list, 100.0).chosen) {
            ids += some.list[i].parcel_id;
        }
        EXPECT_EQ(ids, expected);
    }
}

TEST(Enrolment, AddsMoneyInHundredthsAndNotInBinaryFractions) {
    const std::vector<EnrolmentOffer> offers{{"a", 0.1, 1e-9}, {"b", 0.1, 1e-9}, {"c", 0.1, 1e-9}};
    EXPECT_EQ(most_gain(offers, 0.3).chosen.size(), 3U);
    EXPECT_EQ(most_gain(offers, 0.29).chosen.size(), 2U);
    EXPECT_EQ(least_cost(offers, 3e-9).chosen.size(), 3U);
    EXPECT_EQ(most_gain(offers, 0.3).cost, 0.3);
}

TEST(Enrolment, HasNothingToChooseFromNothing) {
    const std::vector<EnrolmentOffer> none;
    EXPECT_TRUE(most_gain(none, 100.0).chosen.empty());
    EXPECT_TRUE(least_cost(none, 0.0).reached);
    EXPECT_FALSE(least_cost(none, 1.0).reached);
    EXPECT_TRUE(gain_curve(none).empty());
    const Offers dear = offers_of({50, 60}, {10, 10});
    EXPECT_TRUE(most_gain(dear.list, 40.0).chosen.empty());
}

TEST(Enrolment, RefusesAmountsThatAreNone) {
    const std::vector<EnrolmentOffer> negative{{"a", -1.0, 1.0}};
    EXPECT_THROW(static_cast<void>(most_gain(negative, 1.0)), std::exception);
    const std::vector<EnrolmentOffer> endless{{"a", 1.0, std::numeric_limits<double>::infinity()}};
    EXPECT_THROW(static_cast<void>(least_cost(endless, 1.0)), std::exception);
    const std::vector<EnrolmentOffer> great{{"a", 3e16, 1.0}, {"b", 3e16, 1.0}};
    EXPECT_THROW(static_cast<void>(gain_curve(great)), std::exception);
}

TEST(GainCurve, IsAnExactOptimumAtEachOfItsPoints) {
    testing::RandomNumbers random(6);
    for (int round = 0; round < 300; ++round) {
        const Offers offers = random_offers(random, 10);
        Sum before;
        for (const CurvePoint& point : gain_curve(offers.list)) {
            EXPECT_GE(point.cost, before.cost);
            EXPECT_GT(point.gain, before.gain);
            before = {point.cost, point.gain};
            if (round < 100) {
                const Sum best = most_gain_of_all(offers.list, point.cost);
                // Among offers without cost the curve has points for some of them only.
                EXPECT_TRUE(best.gain == point.gain || point.cost == 0.0);
            }
        }
    }
}

TEST(GainCurve, LetsAlikeOffersJoinByParcelIdAndNoneWithoutGain) {
    const std::vector<EnrolmentOffer> offers{{"z", 5, 3}, {"b", 5, 3}, {"a", 9, 0}, {"f", 0, 1}, {"c", 10, 6}};
    std::vector<std::size_t> joined;
    for (const CurvePoint& point : gain_curve(offers)) {
        joined.push_back(point.offer);
    }
    EXPECT_EQ(joined, (std::vector<std::size_t>{3, 1, 0, 4}));
}

}  // namespace
}  // namespace eaveshed
