// method.md 8.5: rank stability.
#include "eaveshed/rank/stability.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <numeric>
#include <set>
#include <string>

#include "rank/score_rules.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

constexpr std::uint32_t kDraws = 400;

StabilityRule rule_for(std::size_t top) {
    return {.score = testing::shipped_rule(), .season_days = 92.0, .top = top, .seed = 1};
}

// Parcels with their ids, which the candidates refer to.
struct Basin {
    std::vector<std::string> ids;
    std::vector<StabilityCandidate> candidates;
};

Basin random_basin(int parcels, std::uint64_t seed) {
    testing::RandomNumbers random(seed);
    Basin basin;
    for (int i = 0; i < parcels; ++i) {
        basin.ids.push_back(std::to_string(random.whole(0, 9)) + "-" + std::to_string(i));
    }
    for (int i = 0; i < parcels; ++i) {
        StabilityCandidate candidate{.parcel_id = basin.ids[static_cast<std::size_t>(i)],
                                     .store_m3 = random.between(2.0, 60.0),
                                     .harvest_m3 = random.between(5.0, 80.0),
                                     .demand_m3 = random.between(5.0, 60.0),
                                     .source_share = random.chance(0.3) ? 0.0 : 1.0};
        if (random.chance(0.8)) {
            candidate.gravity = GravityMargins{random.between(-1.0, 3.0), random.between(-10.0, 60.0), 0.6, 0.15};
        }
        if (random.chance(0.4)) {
            candidate.existing_store_m3 = random.between(0.0, 30.0);
        }
        if (random.chance(0.5)) {
            candidate.cost = random.between(1000.0, 30000.0);
        }
        basin.candidates.push_back(candidate);
    }
    return basin;
}

// By the definition: rank all candidates in every draw and count the seats.
std::vector<double> counted(const Basin& basin, const StabilityRule& rule) {
    std::vector<double> shares(basin.candidates.size(), 0.0);
    const std::vector<std::string_view> ids(basin.ids.begin(), basin.ids.end());
    for (std::uint32_t draw = 0; draw < kDraws; ++draw) {
        std::vector<double> scores;
        for (const StabilityCandidate& candidate : basin.candidates) {
            scores.push_back(score(drawn_components(candidate, rule, draw), rule.score).value);
        }
        const std::vector<std::size_t> order = ranking(scores, ids);
        for (std::size_t seat = 0; seat < std::min(rule.top, order.size()); ++seat) {
            shares[order[seat]] += 1.0 / kDraws;
        }
    }
    return shares;
}

TEST(RankStability, IsTheShareOfRankingsInWhichAParcelHasASeat) {
    for (const std::uint64_t seed : {1U, 2U, 3U}) {
        const Basin basin = random_basin(60, seed);
        const StabilityRule rule = rule_for(10);
        const std::vector<double> shares = rank_stability(basin.candidates, rule, kDraws);
        const std::vector<double> expected = counted(basin, rule);
        for (std::size_t i = 0; i < shares.size(); ++i) {
            EXPECT_NEAR(shares[i], expected[i], 1e-9) << i;
        }
        EXPECT_NEAR(std::accumulate(shares.begin(), shares.end(), 0.0), 10.0, 1e-9);
    }
}

TEST(RankStability, IsTheSameHoweverTheDrawsAreSharedOut) {
    const Basin basin = random_basin(80, 4);
    const StabilityDraws draws(basin.candidates, rule_for(7));
    std::vector<std::uint32_t> at_once(80, 0);
    draws.add_top_counts(0, kDraws, at_once);
    std::vector<std::uint32_t> in_blocks(80, 0);
    for (const auto& [first, last] : {std::pair{300U, 400U}, {0U, 1U}, {1U, 299U}, {299U, 300U}}) {
        draws.add_top_counts(first, last, in_blocks);
    }
    EXPECT_EQ(in_blocks, at_once);
}

TEST(RankStability, DoesNotDependOnTheOrderOfTheCandidates) {
    const Basin basin = random_basin(80, 5);
    const std::vector<double> shares = rank_stability(basin.candidates, rule_for(9), kDraws);
    const std::vector<StabilityCandidate> turned(basin.candidates.rbegin(), basin.candidates.rend());
    std::vector<double> back = rank_stability(turned, rule_for(9), kDraws);
    std::reverse(back.begin(), back.end());
    EXPECT_EQ(back, shares);
}

TEST(RankStability, ChangesWithTheSeedButNotMuch) {
    const Basin basin = random_basin(60, 6);
    StabilityRule rule = rule_for(10);
    const std::vector<double> one = rank_stability(basin.candidates, rule, kDraws);
    rule.seed = 2;
    const std::vector<double> two = rank_stability(basin.candidates, rule, kDraws);
    EXPECT_NE(one, two);
    for (std::size_t i = 0; i < one.size(); ++i) {
        EXPECT_NEAR(one[i], two[i], 5.0 * std::sqrt(2.0 * 0.25 / kDraws)) << i;  // five standard errors
    }
}

TEST(RankStability, NeverFallsWithALongerListAndIsWholeWhenAllHaveASeat) {
    const Basin basin = random_basin(40, 7);
    std::vector<double> before(40, 0.0);
    for (const std::size_t top : {1U, 5U, 20U, 39U}) {
        const std::vector<double> shares = rank_stability(basin.candidates, rule_for(top), kDraws);
        for (std::size_t i = 0; i < shares.size(); ++i) {
            EXPECT_GE(shares[i], before[i]);
        }
        before = shares;
    }
    EXPECT_EQ(rank_stability(basin.candidates, rule_for(40), kDraws), std::vector<double>(40, 1.0));
    EXPECT_EQ(rank_stability(basin.candidates, rule_for(0), kDraws), std::vector<double>(40, 0.0));
}

TEST(RankStability, GivesSeatsOfEqualScoresByParcelId) {
    const std::vector<StabilityCandidate> candidates{{.parcel_id = "c"}, {.parcel_id = "a"}, {.parcel_id = "b"}};
    EXPECT_EQ(rank_stability(candidates, rule_for(2), 10), (std::vector<double>{0.0, 1.0, 1.0}));
}

TEST(RankStability, IsCertainWhereOneIsFarAheadAndEvenWhereTwoAreAlike) {
    const StabilityCandidate like{
        .parcel_id = "a", .store_m3 = 99.0, .harvest_m3 = 30.0, .demand_m3 = 30.0, .source_share = 1.0};
    StabilityCandidate twin = like;
    twin.parcel_id = "b";
    StabilityCandidate ahead = like;
    ahead.parcel_id = "c";
    ahead.store_m3 = ahead.harvest_m3 = ahead.demand_m3 = 3000.0;
    StabilityRule rule = rule_for(2);
    rule.score.ranges.stream_gain_lps = 1.0;
    const std::vector<double> shares = rank_stability(std::vector<StabilityCandidate>{like, twin, ahead}, rule, 4000);
    EXPECT_EQ(shares[2], 1.0);
    EXPECT_NEAR(shares[0], 0.5, 5.0 * 0.5 / std::sqrt(4000.0));
}

// Derived: the median of a lognormal factor is 1 and the sd of its logarithm the given one; the store caps both.
TEST(DrawnComponents, ScaleHarvestAndDemandAsStated) {
    const StabilityRule rule = rule_for(1);
    const double lps_per_m3 = 1000.0 / (92.0 * 86400.0);
    for (const bool harvest : {true, false}) {
        const StabilityCandidate candidate{.parcel_id = "7",
                                           .store_m3 = 1e9,
                                           .harvest_m3 = harvest ? 20.0 : 1e6,
                                           .demand_m3 = harvest ? 1e6 : 20.0,
                                           .source_share = 0.5};
        const double sd = harvest ? 0.15 : 0.30;
        constexpr int kMany = 20000;
        double sum = 0.0;
        double square = 0.0;
        for (std::uint32_t draw = 0; draw < kMany; ++draw) {
            const double factor = drawn_components(candidate, rule, draw).stream_gain_lps / (20.0 * 0.5 * lps_per_m3);
            sum += std::log(factor);
            square += std::log(factor) * std::log(factor);
        }
        EXPECT_NEAR(sum / kMany, 0.0, 5.0 * sd / std::sqrt(kMany));
        EXPECT_NEAR(std::sqrt(square / kMany), sd, 5.0 * sd / std::sqrt(2.0 * kMany));
    }
    const StabilityCandidate small{
        .parcel_id = "7", .store_m3 = 1.0, .harvest_m3 = 1e6, .demand_m3 = 1e6, .source_share = 1.0, .cost = 500.0};
    EXPECT_NEAR(drawn_components(small, rule, 3).stream_gain_lps, lps_per_m3, 1e-15);
    EXPECT_EQ(drawn_components(small, rule, 3).cost_per_m3, 500.0);
}

TEST(DrawnComponents, LetGravityWorkAsOftenAsItsProbability) {
    const StabilityRule rule = rule_for(1);
    StabilityCandidate candidate{.parcel_id = "8", .gravity = GravityMargins{0.5, 1e6, 0.4, 0.3}};
    constexpr int kMany = 20000;
    const auto share = [&] {
        double sum = 0.0;
        for (std::uint32_t draw = 0; draw < kMany; ++draw) {
            sum += drawn_components(candidate, rule, draw).gravity_probability.value();
        }
        return sum / kMany;
    };
    const auto phi = [](double z) { return 0.5 * std::erfc(-z / std::numbers::sqrt2); };
    const double error = 5.0 * 0.5 / std::sqrt(static_cast<double>(kMany));
    EXPECT_NEAR(share(), phi(0.5 / 0.5), error);  // fill alone: sd sqrt(0.4^2 + 0.3^2)
    candidate.gravity = GravityMargins{1e6, 9.80665 * 0.15, 0.4, 0.3};
    EXPECT_NEAR(share(), phi(0.5), error);  // feed alone: the pad's height
    candidate.gravity = GravityMargins{0.1, -9.80665 * 0.1, 0.0, 0.3};
    EXPECT_NEAR(share(), 0.0, error);  // what the feed gains, the fill loses: only at one height do both hold
    candidate.gravity.reset();
    EXPECT_FALSE(drawn_components(candidate, rule, 0).gravity_probability.has_value());
}

TEST(DrawnComponents, DoNotDependOnOtherCandidatesAndEarnNothingForCostWithoutWater) {
    const StabilityRule rule = rule_for(1);
    const StabilityCandidate dry{.parcel_id = "9", .store_m3 = 5.0, .harvest_m3 = 0.0, .demand_m3 = 9.0, .cost = 10.0};
    const Score result = score(drawn_components(dry, rule, 5), rule.score);
    EXPECT_EQ(result.value, 0.0);
    EXPECT_EQ(result.scaled[3], 0.0);
}

// A store as large as the one that is there adds nothing; one of 30 m3 beside 10 m3 adds what is above these.
TEST(DrawnComponents, CountWhatTheStoreAddsToTheOneThatIsThere) {
    const StabilityRule rule = rule_for(1);
    StabilityCandidate candidate{.parcel_id = "10",
                                 .store_m3 = 30.0,
                                 .existing_store_m3 = 10.0,
                                 .harvest_m3 = 1e6,
                                 .demand_m3 = 1e6,
                                 .source_share = 1.0,
                                 .cost = 500.0};
    const double lps_per_m3 = 1000.0 / (86400.0 * 92.0);
    EXPECT_NEAR(drawn_components(candidate, rule, 3).stream_gain_lps, 20.0 * lps_per_m3, 1e-15);
    EXPECT_EQ(drawn_components(candidate, rule, 3).cost_per_m3, 25.0);
    candidate.harvest_m3 = 4.0;  // fills neither
    EXPECT_EQ(drawn_components(candidate, rule, 3).stream_gain_lps, 0.0);
    candidate.harvest_m3 = 1e6;
    double before = 30.0 * lps_per_m3;
    for (candidate.existing_store_m3 = 5.0; candidate.existing_store_m3 < 50.0; candidate.existing_store_m3 += 5.0) {
        const double gain = drawn_components(candidate, rule, 3).stream_gain_lps;
        EXPECT_LE(gain, before);
        EXPECT_GE(gain, 0.0);
        before = gain;
    }
    EXPECT_EQ(before, 0.0);
}

TEST(StabilityDraws, RefuseVolumesThatAreNone) {
    const std::vector<StabilityCandidate> negative{{.parcel_id = "1", .store_m3 = -1.0}};
    EXPECT_THROW(StabilityDraws(negative, rule_for(1)), std::exception);
    const std::vector<StabilityCandidate> nothing{
        {.parcel_id = "1", .harvest_m3 = std::numeric_limits<double>::quiet_NaN()}};
    EXPECT_THROW(StabilityDraws(nothing, rule_for(1)), std::exception);
}

}  // namespace
}  // namespace eaveshed
