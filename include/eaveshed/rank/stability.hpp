// Rank stability: how often a parcel stays at the top of the list when what is only known roughly is drawn anew.
//
// One draw takes for every candidate four independent normal numbers, keyed by seed, parcel id and number of the draw
// (counted_random.hpp), and with them
//   harvest  x exp(0.15 z1)        replaced = min(store, harvest, demand)
//   demand   x exp(0.30 z2)        added = max(0, replaced - min(existing store, harvest, demand))
//   eave     + eave sd x z3        stream gain = added x source share / season
//   pad      + pad sd  x z4        low-flow share = stream gain / low flow; cost per m3 = cost / added
//                                  gravity = 1 when neither margin is negative, else 0
// The smallest of the three volumes is a quick stand-in for a store's behaviour over the years. The heights of a draw
// are taken as the true ones, so gravity works or it does not: over the draws that averages to its probability. The
// season reliability, the storage and its cost stay as they are. What has no data has none in any draw.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "eaveshed/rank/score.hpp"

namespace eaveshed {

// Standard deviations of the logarithms: method.md 8.5.
inline constexpr double kHarvestLogSd = 0.15;
inline constexpr double kDemandLogSd = 0.30;

// How far a parcel's pad is from needing a pump, and how well its heights are known. Negative: it needs one.
struct GravityMargins {
    double fill_margin_m = 0.0;    // gutter above what the tank and its line need
    double feed_margin_kpa = 0.0;  // pressure above the minimum
    double eave_sd_m = 0.0;        // of the eave's elevation: its ground and its height
    double pad_sd_m = 0.0;         // of the pad's elevation
};

// Volumes >= 0 and finite.
struct StabilityCandidate {
    std::string_view parcel_id;                         // kept by reference
    double store_m3 = 0.0;                              // usable less the reserve
    double existing_store_m3 = 0.0;                     // what is there already, less the reserve
    double harvest_m3 = 0.0;                            // dependable winter harvest; the mean where there is none
    double demand_m3 = 0.0;                             // of the season
    double source_share = 0.0;                          // part of the added volume that the stream gains
    std::optional<double> low_flow_lps = std::nullopt;  // of the reach, > 0
    std::optional<double> cost = std::nullopt;
    std::optional<double> season_reliability = std::nullopt;
    std::optional<GravityMargins> gravity = std::nullopt;  // where there is a pad
};

struct StabilityRule {
    ScoreRule score;
    double season_days = 0.0;  // of the forbearance months, > 0
    std::size_t top = 0;       // length of the list
    std::uint64_t seed = 0;
};

// What one draw makes of a candidate. A cost for no water is given as twice what the range allows: it earns nothing.
[[nodiscard]] ScoreComponents drawn_components(const StabilityCandidate& candidate, const StabilityRule& rule,
                                               std::uint32_t draw);

// Counts, in blocks of draws that may be worked on by several threads at once: every block is a function of its numbers
// alone, and the counts are whole, so that their sum is the same however the draws are shared out.
class StabilityDraws {
public:
    // Keeps the candidates by reference.
    StabilityDraws(std::span<const StabilityCandidate> candidates, const StabilityRule& rule);

    // Adds to `counts`, one for each candidate in the order given, the number of draws in [first, last) in which it is
    // among the first `top` of the ranking (score.hpp; equal scores by parcel id). Safe to call at the same time with
    // different counts.
    void add_top_counts(std::uint32_t first, std::uint32_t last, std::span<std::uint32_t> counts) const;

private:
    // One candidate, laid out so that a draw stops where nobody else can still have a seat.
    struct Entrant {
        double most = 0.0;          // no draw gives it a higher score
        std::uint32_t place = 0;    // in the order given
        std::uint32_t id_rank = 0;  // in the order of parcel ids, which breaks ties
        std::uint64_t hash = 0;
        const StabilityCandidate* candidate = nullptr;
    };
    struct Seat {
        double score = 0.0;
        std::uint32_t id_rank = 0;
        std::uint32_t place = 0;
        [[nodiscard]] bool before(const Seat& other) const {
            return score != other.score ? score > other.score : id_rank < other.id_rank;
        }
    };
    void seat(std::uint32_t draw, std::vector<Seat>& seats) const;

    StabilityRule m_rule;
    std::vector<Entrant> m_entrants;  // by the most they can score, highest first; then by id
};

// Share of draws 0, 1, ..., draws - 1 in which each candidate is among the first `top`. draws > 0.
[[nodiscard]] std::vector<double> rank_stability(std::span<const StabilityCandidate> candidates,
                                                 const StabilityRule& rule, std::uint32_t draws);

}  // namespace eaveshed
