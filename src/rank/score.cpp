#include "eaveshed/rank/score.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

namespace {

std::optional<double> share_of(const std::optional<double>& value, double range) {
    if (!value) {
        return std::nullopt;
    }
    if (!std::isfinite(*value)) {
        internal_error("a score component that is not finite");
    }
    return std::clamp(*value / range, 0.0, 1.0);
}

ComponentValues scaled(const ScoreComponents& components, const ScoreRanges& ranges) {
    std::optional<double> cost = share_of(components.cost_per_m3, ranges.cost_per_m3);
    if (cost) {
        *cost = 1.0 - *cost;
    }
    return {share_of(components.stream_gain_lps, ranges.stream_gain_lps),
            share_of(components.low_flow_share, ranges.low_flow_share), share_of(components.gravity_probability, 1.0),
            cost, share_of(components.season_reliability, 1.0)};
}

std::array<double, kScoreComponents> in_order(const ScoreWeights& weights) {
    return {weights.stream_gain, weights.low_flow_share, weights.gravity, weights.cost, weights.reliability};
}

}  // namespace

ComponentValues oriented(const ScoreComponents& components) {
    std::optional<double> cheapness = components.cost_per_m3;
    if (cheapness) {
        *cheapness = -*cheapness;
    }
    return {components.stream_gain_lps, components.low_flow_share, components.gravity_probability, cheapness,
            components.season_reliability};
}

Score score(const ScoreComponents& components, const ScoreRule& rule) {
    Score result;
    result.scaled = scaled(components, rule.ranges);
    const std::array<double, kScoreComponents> weights = in_order(rule.weights);
    double points = 0.0;
    double weight_sum = 0.0;
    for (std::size_t i = 0; i < kScoreComponents; ++i) {
        if (result.scaled[i]) {
            points += weights[i] * *result.scaled[i];
            weight_sum += weights[i];
        }
    }
    result.value = weight_sum > 0.0 ? points / weight_sum : 0.0;
    return result;
}

ComponentsKnown known_to_some(std::span<const ScoreComponents> candidates) {
    ComponentsKnown known{};
    for (const ScoreComponents& candidate : candidates) {
        const ComponentValues values = oriented(candidate);
        for (std::size_t i = 0; i < kScoreComponents; ++i) {
            known[i] = known[i] || values[i].has_value();
        }
    }
    return known;
}

bool is_partial(const Score& score, const ComponentsKnown& known, const ScoreRule& rule) {
    const std::array<double, kScoreComponents> weights = in_order(rule.weights);
    for (std::size_t i = 0; i < kScoreComponents; ++i) {
        if (weights[i] > 0.0 && known[i] && !score.scaled[i]) {
            return true;
        }
    }
    return false;
}

std::vector<std::string_view> known_to_none(const ComponentsKnown& known, const ScoreRule& rule) {
    const std::array<double, kScoreComponents> weights = in_order(rule.weights);
    std::vector<std::string_view> names;
    for (std::size_t i = 0; i < kScoreComponents; ++i) {
        if (weights[i] > 0.0 && !known[i]) {
            names.push_back(kScoreComponentNames[i]);
        }
    }
    return names;
}

std::vector<std::size_t> ranking(std::span<const double> scores, std::span<const std::string_view> parcel_ids) {
    if (scores.size() != parcel_ids.size()) {
        internal_error("scores and parcel ids of different numbers");
    }
    std::vector<std::size_t> order(scores.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        return scores[a] != scores[b] ? scores[a] > scores[b] : parcel_ids[a] < parcel_ids[b];
    });
    return order;
}

}  // namespace eaveshed
