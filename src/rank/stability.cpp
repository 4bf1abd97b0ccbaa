#include "eaveshed/rank/stability.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <numeric>

#include "eaveshed/core/constants.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/rank/counted_random.hpp"

namespace eaveshed {

namespace {

double gravity_outcome(const GravityMargins& margins, double eave_shift_m, double pad_shift_m) {
    const double fill_margin_m = margins.fill_margin_m + eave_shift_m - pad_shift_m;
    const double feed_margin_kpa = margins.feed_margin_kpa + kKpaPerMetre * pad_shift_m;
    return fill_margin_m >= 0.0 && feed_margin_kpa >= 0.0 ? 1.0 : 0.0;
}

ScoreComponents components_of(const StabilityCandidate& candidate, const StabilityRule& rule, std::uint64_t hash,
                              std::uint32_t draw) {
    const auto [z_harvest, z_demand, z_eave, z_pad] = four_normals(rule.seed, hash, draw);
    const double harvest_m3 = candidate.harvest_m3 * std::exp(kHarvestLogSd * z_harvest);
    const double demand_m3 = candidate.demand_m3 * std::exp(kDemandLogSd * z_demand);
    const double replaced_m3 = std::min({candidate.store_m3, harvest_m3, demand_m3});
    ScoreComponents drawn;
    drawn.stream_gain_lps = replaced_m3 * candidate.source_share * kLitresPerM3 / (kSecondsPerDay * rule.season_days);
    if (candidate.low_flow_lps) {
        drawn.low_flow_share = drawn.stream_gain_lps / *candidate.low_flow_lps;
    }
    if (candidate.gravity) {
        const GravityMargins& gravity = *candidate.gravity;
        drawn.gravity_probability = gravity_outcome(gravity, gravity.eave_sd_m * z_eave, gravity.pad_sd_m * z_pad);
    }
    if (candidate.cost) {
        const double nothing_earned = 2.0 * rule.score.ranges.cost_per_m3;
        drawn.cost_per_m3 = replaced_m3 > 0.0 ? *candidate.cost / replaced_m3 : nothing_earned;
    }
    drawn.season_reliability = candidate.season_reliability;
    return drawn;
}

void check(const StabilityCandidate& candidate) {
    for (const double volume_m3 : {candidate.store_m3, candidate.harvest_m3, candidate.demand_m3}) {
        if (!(volume_m3 >= 0.0) || !std::isfinite(volume_m3)) {
            internal_error("a candidate's volume that is negative or not finite");
        }
    }
}

}  // namespace

ScoreComponents drawn_components(const StabilityCandidate& candidate, const StabilityRule& rule, std::uint32_t draw) {
    return components_of(candidate, rule, id_hash(candidate.parcel_id), draw);
}

StabilityDraws::StabilityDraws(std::span<const StabilityCandidate> candidates, const StabilityRule& rule)
    : m_rule(rule), m_place(candidates.size()) {
    if (!(rule.season_days > 0.0)) {
        internal_error("a season without days");
    }
    std::for_each(candidates.begin(), candidates.end(), check);
    std::iota(m_place.begin(), m_place.end(), std::size_t{0});
    std::stable_sort(m_place.begin(), m_place.end(),
                     [&](std::size_t a, std::size_t b) { return candidates[a].parcel_id < candidates[b].parcel_id; });
    for (const std::size_t place : m_place) {
        m_candidates.push_back(candidates[place]);
        m_hashes.push_back(id_hash(candidates[place].parcel_id));
    }
}

void StabilityDraws::draw_scores(std::uint32_t draw, std::span<double> scores) const {
    for (std::size_t i = 0; i < scores.size(); ++i) {
        scores[i] = score(components_of(m_candidates[i], m_rule, m_hashes[i], draw), m_rule.score).value;
    }
}

// Whoever beats the last score that has a seat has one too; those who share that score take the seats left in the order
// of their ids.
void StabilityDraws::count_top(std::span<const double> scores, std::vector<double>& work,
                               std::span<std::uint32_t> counts) const {
    work.assign(scores.begin(), scores.end());
    const auto last_seat = work.begin() + static_cast<std::ptrdiff_t>(m_rule.top - 1);
    std::nth_element(work.begin(), last_seat, work.end(), std::greater<>());
    const double last_score = *last_seat;
    auto seats_left = static_cast<std::size_t>(std::count(work.begin(), last_seat, last_score)) + 1;
    for (std::size_t i = 0; i < scores.size(); ++i) {
        if (scores[i] > last_score) {
            ++counts[m_place[i]];
        } else if (scores[i] == last_score && seats_left > 0) {
            ++counts[m_place[i]];
            --seats_left;
        }
    }
}

void StabilityDraws::add_top_counts(std::uint32_t first, std::uint32_t last, std::span<std::uint32_t> counts) const {
    if (counts.size() != m_candidates.size()) {
        internal_error("counts and candidates of different numbers");
    }
    if (m_rule.top == 0 || first >= last) {
        return;
    }
    if (m_rule.top >= counts.size()) {
        std::for_each(counts.begin(), counts.end(), [&](std::uint32_t& count) { count += last - first; });
        return;
    }
    std::vector<double> scores(counts.size());
    std::vector<double> work;
    for (std::uint32_t draw = first; draw < last; ++draw) {
        draw_scores(draw, scores);
        count_top(scores, work, counts);
    }
}

std::vector<double> rank_stability(std::span<const StabilityCandidate> candidates, const StabilityRule& rule,
                                   std::uint32_t draws) {
    if (draws == 0) {
        internal_error("rank stability without draws");
    }
    std::vector<std::uint32_t> counts(candidates.size(), 0);
    StabilityDraws(candidates, rule).add_top_counts(0, draws, counts);
    std::vector<double> shares;
    shares.reserve(counts.size());
    for (const std::uint32_t count : counts) {
        shares.push_back(static_cast<double>(count) / draws);
    }
    return shares;
}

}  // namespace eaveshed
