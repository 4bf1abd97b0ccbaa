// method.md 8.2, 8.3: score and rank.
#include "eaveshed/rank/score.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <limits>
#include <string>
#include <string_view>
#include <vector>

#include "rank/score_rules.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

using testing::shipped_rule;

ScoreComponents random_components(testing::RandomNumbers& random) {
    ScoreComponents components{.stream_gain_lps = random.between(-0.002, 0.02)};
    if (random.chance(0.7)) {
        components.low_flow_share = random.between(0.0, 0.1);
    }
    if (random.chance(0.7)) {
        components.gravity_probability = random.between(0.0, 1.0);
    }
    if (random.chance(0.7)) {
        components.cost_per_m3 = random.between(0.0, 4000.0);
    }
    if (random.chance(0.7)) {
        components.season_reliability = random.between(0.0, 1.0);
    }
    return components;
}

// Derived by hand: 0.35 x 0.25 + 0.15 x 0.2 + 0.2 x 0.9 + 0.2 x (1 - 600/2000) + 0.1 x 0.8.
TEST(Score, IsTheWeightedSumOfScaledComponents) {
    const ScoreComponents components{.stream_gain_lps = 0.0025,
                                     .low_flow_share = 0.01,
                                     .gravity_probability = 0.9,
                                     .cost_per_m3 = 600.0,
                                     .season_reliability = 0.8};
    const Score result = score(components, shipped_rule());
    EXPECT_NEAR(result.value, 0.5175, 1e-12);
    EXPECT_NEAR(result.scaled[3].value(), 0.7, 1e-12);
}

// Derived by hand: without low flow and cost the weights 0.35, 0.2, 0.1 are left: (0.0875 + 0.18 + 0.08) / 0.65.
TEST(Score, LeavesOutWhatHasNoData) {
    const ScoreComponents components{.stream_gain_lps = 0.0025, .gravity_probability = 0.9, .season_reliability = 0.8};
    const Score result = score(components, shipped_rule());
    EXPECT_NEAR(result.value, 0.3475 / 0.65, 1e-12);
    EXPECT_FALSE(result.scaled[1].has_value());
    EXPECT_FALSE(result.scaled[3].has_value());
}

// No candidate has low flow; of the cost only the first one knows.
TEST(Score, IsPartialWhereAnotherCandidateHasWhatIsMissing) {
    ScoreRule rule = shipped_rule();
    const std::vector<ScoreComponents> candidates{
        {.stream_gain_lps = 0.0025, .gravity_probability = 0.9, .cost_per_m3 = 600.0, .season_reliability = 0.8},
        {.stream_gain_lps = 0.0025, .gravity_probability = 0.9, .season_reliability = 0.8}};
    const ComponentsKnown known = known_to_some(candidates);
    EXPECT_EQ(known, (ComponentsKnown{true, false, true, true, true}));
    EXPECT_FALSE(is_partial(score(candidates[0], rule), known, rule));
    EXPECT_TRUE(is_partial(score(candidates[1], rule), known, rule));
    EXPECT_EQ(known_to_none(known, rule), std::vector<std::string_view>{"low_flow_share"});
    // Alone, nobody knows more.
    const ComponentsKnown alone = known_to_some({&candidates[1], 1});
    EXPECT_FALSE(is_partial(score(candidates[1], rule), alone, rule));
    EXPECT_EQ(known_to_none(alone, rule), (std::vector<std::string_view>{"low_flow_share", "cost"}));
    // What has no weight is not missed.
    rule.weights.low_flow_share = 0.0;
    rule.weights.cost = 0.0;
    EXPECT_FALSE(is_partial(score(candidates[1], rule), known, rule));
    EXPECT_TRUE(known_to_none(alone, rule).empty());
}

TEST(Score, ClampsToTheReferenceRange) {
    const ScoreRule rule = shipped_rule();
    const ScoreComponents beyond{.stream_gain_lps = 5.0,
                                 .low_flow_share = 3.0,
                                 .gravity_probability = 1.0,
                                 .cost_per_m3 = 0.0,
                                 .season_reliability = 1.0};
    EXPECT_EQ(score(beyond, rule).value, 1.0);
    const ScoreComponents below{.stream_gain_lps = -1.0,
                                .low_flow_share = 0.0,
                                .gravity_probability = 0.0,
                                .cost_per_m3 = 1e9,
                                .season_reliability = 0.0};
    EXPECT_EQ(score(below, rule).value, 0.0);
}

TEST(Score, StaysTheSameWhenAllWeightsAreDoubled) {
    testing::RandomNumbers random(1);
    const ScoreRule rule = shipped_rule();
    ScoreRule doubled = rule;
    for (double* weight : {&doubled.weights.stream_gain, &doubled.weights.low_flow_share, &doubled.weights.gravity,
                           &doubled.weights.cost, &doubled.weights.reliability}) {
        *weight *= 2.0;
    }
    for (int i = 0; i < 2000; ++i) {
        const ScoreComponents components = random_components(random);
        const Score once = score(components, rule);
        EXPECT_EQ(once.value, score(components, doubled).value);
        EXPECT_GE(once.value, 0.0);
        EXPECT_LE(once.value, 1.0);
    }
}

TEST(Score, NeverFallsWhenAComponentGetsBetter) {
    testing::RandomNumbers random(2);
    const ScoreRule rule = shipped_rule();
    for (int i = 0; i < 2000; ++i) {
        const ScoreComponents components = random_components(random);
        const double before = score(components, rule).value;
        ScoreComponents better = components;
        better.stream_gain_lps += 0.001;
        EXPECT_GE(score(better, rule).value, before);
        if (components.cost_per_m3) {
            ScoreComponents cheaper = components;
            *cheaper.cost_per_m3 *= 0.9;
            EXPECT_GE(score(cheaper, rule).value, before);
        }
    }
}

TEST(Score, IsNilWithoutWeightsOrWithoutDataWhereTheWeightIs) {
    const ScoreComponents components{.stream_gain_lps = 0.01, .gravity_probability = 1.0};
    ScoreRule rule = shipped_rule();
    rule.weights = {};
    EXPECT_EQ(score(components, rule).value, 0.0);
    rule.weights.cost = 1.0;
    EXPECT_EQ(score(components, rule).value, 0.0);
}

TEST(Score, RefusesWhatIsNotANumber) {
    const ScoreComponents components{.stream_gain_lps = std::numeric_limits<double>::quiet_NaN()};
    EXPECT_THROW(static_cast<void>(score(components, shipped_rule())), std::exception);
}

TEST(Oriented, TurnsTheCostRoundAndClampsNothing) {
    const ComponentValues values = oriented({.stream_gain_lps = 5.0, .cost_per_m3 = 3000.0});
    EXPECT_EQ(values[0], 5.0);
    EXPECT_EQ(values[3], -3000.0);
    EXPECT_FALSE(values[1].has_value());
}

TEST(Ranking, FallsByScoreAndBreaksTiesByBytesOfTheId) {
    const std::vector<double> scores{0.5, 0.7, 0.5, 0.5, 0.9};
    const std::vector<std::string_view> ids{"b", "x", "B", "\xc3\xa4", "z"};
    EXPECT_EQ(ranking(scores, ids), (std::vector<std::size_t>{4, 1, 2, 0, 3}));
}

TEST(Ranking, KeepsTheOthersInOrderWhenACandidateIsRemoved) {
    testing::RandomNumbers random(3);
    std::vector<double> scores;
    std::vector<std::string> names;
    for (int i = 0; i < 200; ++i) {
        scores.push_back(score(random_components(random), shipped_rule()).value);
        names.push_back(std::to_string(random.whole(0, 100000)));
    }
    scores[7] = scores[70] = scores[170];
    std::vector<std::string_view> ids(names.begin(), names.end());
    std::vector<std::size_t> whole = ranking(scores, ids);
    scores.pop_back();
    ids.pop_back();
    std::erase(whole, scores.size());
    EXPECT_EQ(ranking(scores, ids), whole);
}

struct ListRelative {
    double a = 0.0;
    double b = 0.0;
};

// The trap: each component scaled between the least and the greatest of the list, equal weights.
double list_relative_score(const std::vector<ListRelative>& list, const ListRelative& candidate) {
    const auto [a_low, a_high] =
        std::minmax_element(list.begin(), list.end(), [](const auto& x, const auto& y) { return x.a < y.a; });
    const auto [b_low, b_high] =
        std::minmax_element(list.begin(), list.end(), [](const auto& x, const auto& y) { return x.b < y.b; });
    return (candidate.a - a_low->a) / (a_high->a - a_low->a) + (candidate.b - b_low->b) / (b_high->b - b_low->b);
}

// R9.5 (derived): A(10,1) B(5,6) C(0,10), equal weights; adding D(30,0) swaps B and C where the range is the list's.
TEST(Ranking, DoesNotSwapTwoCandidatesBecauseAThirdJoins) {
    std::vector<ListRelative> list{{10, 1}, {5, 6}, {0, 10}};
    EXPECT_GT(list_relative_score(list, list[1]), list_relative_score(list, list[2]));
    list.push_back({30, 0});
    EXPECT_LT(list_relative_score(list, list[1]), list_relative_score(list, list[2]));

    const ScoreRule rule{.weights = {.stream_gain = 1.0, .low_flow_share = 1.0},
                         .ranges = {.stream_gain_lps = 10.0, .low_flow_share = 10.0}};
    const std::vector<std::string_view> ids{"A", "B", "C", "D"};
    std::vector<double> scores;
    for (const ListRelative& candidate : list) {
        scores.push_back(score({.stream_gain_lps = candidate.a, .low_flow_share = candidate.b}, rule).value);
    }
    const std::vector<std::size_t> of_three = ranking(std::span(scores).first(3), std::span(ids).first(3));
    std::vector<std::size_t> of_four = ranking(scores, ids);
    std::erase(of_four, std::size_t{3});
    EXPECT_EQ(of_four, of_three);
}

}  // namespace
}  // namespace eaveshed
