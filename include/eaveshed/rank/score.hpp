// The score by which parcels are ranked, and the order that follows from it.
//
// Every component is scaled to 0..1 over a range that is fixed beforehand and never taken from the list at hand. So a
// candidate's score depends on that candidate alone, and adding or removing others never reorders the rest.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

namespace eaveshed {

// What a candidate is judged by. All finite (else a broken invariant); an empty component has no data.
struct ScoreComponents {
    double stream_gain_lps = 0.0;                              // added
    std::optional<double> low_flow_share = std::nullopt;       // of the reach where the gain enters
    std::optional<double> gravity_probability = std::nullopt;  // 0..1
    std::optional<double> cost_per_m3 = std::nullopt;          // currency per added m3 of one season: less is better
    std::optional<double> season_reliability = std::nullopt;   // 0..1
};

inline constexpr std::size_t kScoreComponents = 5;
// In their order, as settings and columns call them.
inline constexpr std::array<std::string_view, kScoreComponents> kScoreComponentNames{"stream_gain", "low_flow_share",
                                                                                     "gravity", "cost", "reliability"};

// One number a component, in the order of ScoreComponents.
using ComponentValues = std::array<std::optional<double>, kScoreComponents>;

// Each >= 0; only their proportions matter.
struct ScoreWeights {
    double stream_gain = 0.0;
    double low_flow_share = 0.0;
    double gravity = 0.0;
    double cost = 0.0;
    double reliability = 0.0;
};

// Where a component earns its full weight (the cost: none of it); each > 0. At 0 it is the other way round. Gravity and
// reliability are shares already.
struct ScoreRanges {
    double stream_gain_lps = 1.0;
    double low_flow_share = 1.0;
    double cost_per_m3 = 1.0;
};

struct ScoreRule {
    ScoreWeights weights;
    ScoreRanges ranges;
};

struct Score {
    double value = 0.0;      // 0..1
    ComponentValues scaled;  // 0..1, more is better; empty where there is no data
};

// The raw components with one orientation, more is better: the cost with its sign turned. Not scaled, not clamped.
[[nodiscard]] ComponentValues oriented(const ScoreComponents& components);

// Sum of weight x scaled component over the components with data, divided by the sum of their weights. 0 where that sum
// is 0: all weights zero, or no data where a weight is.
// method.md 8.2.
[[nodiscard]] Score score(const ScoreComponents& components, const ScoreRule& rule);

// Which components some candidate of a list has data for.
using ComponentsKnown = std::array<bool, kScoreComponents>;
[[nodiscard]] ComponentsKnown known_to_some(std::span<const ScoreComponents> candidates);

// Whether the candidate lacks a component that has a weight and that some other candidate of the list has.
// method.md 8.2.
[[nodiscard]] bool is_partial(const Score& score, const ComponentsKnown& known, const ScoreRule& rule);
// The components with a weight that no candidate of the list has.
[[nodiscard]] std::vector<std::string_view> known_to_none(const ComponentsKnown& known, const ScoreRule& rule);

// Positions in the list, the best first: by falling score; equal scores by parcel id, byte by byte; equal ids in the
// order given. One id for each score (else a broken invariant).
// method.md 8.3.
[[nodiscard]] std::vector<std::size_t> ranking(std::span<const double> scores,
                                               std::span<const std::string_view> parcel_ids);

}  // namespace eaveshed
