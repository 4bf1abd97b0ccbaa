// Pareto tiers: who is the best one can have in some mixture of the criteria, whatever their weights.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "eaveshed/rank/score.hpp"

namespace eaveshed {

// Non-dominated sorting. One candidate dominates another when it is at least as good in every criterion and better in
// one. Tier 1 are those that nobody dominates, tier 2 those that nobody dominates once tier 1 is taken away, and so on:
// the tier of a candidate is one more than the greatest tier among those that dominate it. Equal candidates share a
// tier.
//
// `values`: row-major, `criteria` numbers a candidate, more is better, none NaN (else a broken invariant).
// The candidates are visited best first by the first criterion, then by the next ones, so that whoever dominates one
// comes before it (Kung, Luccio and Preparata 1975), and the greatest tier among them is sought in a k-d tree over the
// other criteria. About n log n for two criteria; for five, 100,000 candidates take about a second.
// method.md 8.4.
[[nodiscard]] std::vector<std::int32_t> pareto_tiers(std::span<const double> values, std::size_t criteria);

// Tiers on the components for which every candidate has data. Compared are the raw oriented components (the cost with
// its sign turned) and not the scaled ones: beyond the end of a reference range more is still better here.
[[nodiscard]] std::vector<std::int32_t> pareto_tiers(std::span<const ScoreComponents> candidates);

}  // namespace eaveshed
