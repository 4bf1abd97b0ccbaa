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

// What the storage adds to what is there already, with so much water and so much need of it.
double added_m3(const StabilityCandidate& candidate, double harvest_m3, double demand_m3) {
    const double most_m3 = std::min(harvest_m3, demand_m3);
    return std::max(0.0, std::min(candidate.store_m3, most_m3) - std::min(candidate.existing_store_m3, most_m3));
}

// What a candidate comes to when it adds so much and gravity works so well.
ScoreComponents components_of(const StabilityCandidate& candidate, const StabilityRule& rule, double added_m3,
                              double gravity) {
    ScoreComponents parts;
    parts.stream_gain_lps = added_m3 * candidate.source_share * kLitresPerM3 / (kSecondsPerDay * rule.season_days);
    if (candidate.low_flow_lps) {
        parts.low_flow_share = parts.stream_gain_lps / *candidate.low_flow_lps;
    }
    if (candidate.gravity) {
        parts.gravity_probability = gravity;
    }
    if (candidate.cost) {
        const double nothing_earned = 2.0 * rule.score.ranges.cost_per_m3;
        parts.cost_per_m3 = added_m3 > 0.0 ? *candidate.cost / added_m3 : nothing_earned;
    }
    parts.season_reliability = candidate.season_reliability;
    return parts;
}

ScoreComponents drawn(const StabilityCandidate& candidate, const StabilityRule& rule, std::uint64_t hash,
                      std::uint32_t draw) {
    const auto [z_harvest, z_demand, z_eave, z_pad] = four_normals(rule.seed, hash, draw);
    const double harvest_m3 = candidate.harvest_m3 * std::exp(kHarvestLogSd * z_harvest);
    const double demand_m3 = candidate.demand_m3 * std::exp(kDemandLogSd * z_demand);
    double gravity = 0.0;
    if (candidate.gravity) {
        const GravityMargins& margins = *candidate.gravity;
        gravity = gravity_outcome(margins, margins.eave_sd_m * z_eave, margins.pad_sd_m * z_pad);
    }
    return components_of(candidate, rule, added_m3(candidate, harvest_m3, demand_m3), gravity);
}

void check(const StabilityCandidate& candidate) {
    for (const double volume_m3 :
         {candidate.store_m3, candidate.existing_store_m3, candidate.harvest_m3, candidate.demand_m3}) {
        if (!(volume_m3 >= 0.0) || !std::isfinite(volume_m3)) {
            internal_error("a candidate's volume that is negative or not finite");
        }
    }
}

// Whether heights that are as far off as a normal number goes could let gravity work.
bool gravity_possible(const GravityMargins& margins, double highest_z) {
    const double pad_shift_m = margins.pad_sd_m * highest_z;
    return margins.fill_margin_m + margins.eave_sd_m * highest_z + pad_shift_m >= 0.0 &&
           margins.feed_margin_kpa + kKpaPerMetre * pad_shift_m >= 0.0;
}

// The most that any draw can give: both volumes as high as a normal number of 32 bits goes, and gravity at work where
// it can. Each step of a score grows with each of its parts, in floating point too.
double most_possible(const StabilityCandidate& candidate, const StabilityRule& rule) {
    const double highest_z = normal_quantile(1.0 - 0x1.0p-33) + 1e-6;
    const double most_added_m3 = added_m3(candidate, candidate.harvest_m3 * std::exp(kHarvestLogSd * highest_z),
                                          candidate.demand_m3 * std::exp(kDemandLogSd * highest_z));
    const bool gravity = candidate.gravity && gravity_possible(*candidate.gravity, highest_z);
    return score(components_of(candidate, rule, most_added_m3, gravity ? 1.0 : 0.0), rule.score).value;
}

}  // namespace

ScoreComponents drawn_components(const StabilityCandidate& candidate, const StabilityRule& rule, std::uint32_t draw) {
    return drawn(candidate, rule, id_hash(candidate.parcel_id), draw);
}

StabilityDraws::StabilityDraws(std::span<const StabilityCandidate> candidates, const StabilityRule& rule)
    : m_rule(rule) {
    if (!(rule.season_days > 0.0)) {
        internal_error("a season without days");
    }
    std::for_each(candidates.begin(), candidates.end(), check);
    std::vector<std::uint32_t> by_id(candidates.size());
    std::iota(by_id.begin(), by_id.end(), 0U);
    std::stable_sort(by_id.begin(), by_id.end(), [&](std::uint32_t a, std::uint32_t b) {
        return candidates[a].parcel_id < candidates[b].parcel_id;
    });
    m_entrants.reserve(candidates.size());
    for (std::uint32_t rank = 0; rank < by_id.size(); ++rank) {
        const StabilityCandidate& candidate = candidates[by_id[rank]];
        m_entrants.push_back(
            {most_possible(candidate, rule), by_id[rank], rank, id_hash(candidate.parcel_id), &candidate});
    }
    std::stable_sort(m_entrants.begin(), m_entrants.end(),
                     [](const Entrant& a, const Entrant& b) { return a.most > b.most; });
}

// The seats of one draw, as a heap whose first is the one to go next.
void StabilityDraws::seat(std::uint32_t draw, std::vector<Seat>& seats) const {
    const auto before = [](const Seat& a, const Seat& b) { return a.before(b); };
    seats.clear();
    for (const Entrant& entrant : m_entrants) {
        const bool full = seats.size() == m_rule.top;
        if (full && entrant.most < seats.front().score) {
            return;  // nor can anyone after it
        }
        if (full && entrant.most == seats.front().score && entrant.id_rank > seats.front().id_rank) {
            continue;
        }
        const double drawn_score = score(drawn(*entrant.candidate, m_rule, entrant.hash, draw), m_rule.score).value;
        const Seat seat{drawn_score, entrant.id_rank, entrant.place};
        if (full) {
            if (!seat.before(seats.front())) {
                continue;
            }
            std::pop_heap(seats.begin(), seats.end(), before);
            seats.back() = seat;
        } else {
            seats.push_back(seat);
        }
        std::push_heap(seats.begin(), seats.end(), before);
    }
}

void StabilityDraws::add_top_counts(std::uint32_t first, std::uint32_t last, std::span<std::uint32_t> counts) const {
    if (counts.size() != m_entrants.size()) {
        internal_error("counts and candidates of different numbers");
    }
    if (m_rule.top == 0 || first >= last) {
        return;
    }
    if (m_rule.top >= counts.size()) {
        std::for_each(counts.begin(), counts.end(), [&](std::uint32_t& count) { count += last - first; });
        return;
    }
    std::vector<Seat> seats;
    for (std::uint32_t draw = first; draw < last; ++draw) {
        seat(draw, seats);
        for (const Seat& taken : seats) {
            ++counts[taken.place];
        }
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
