// Which of two eligible pads is the better one.
#pragma once

#include <cstdint>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/siting/pad_rules.hpp"

namespace eaveshed {

// What the choice looks at, unrounded.
struct PadOffer {
    double fill_margin_m = 0.0;
    double fill_sd_m = 0.0;
    double fill_distance_m = 0.0;
    double pipe_m = 0.0;
    double row_span_m = 0.0;  // of the pipe along a row
    double pressure_kpa = 0.0;
    Cell cell;
    Arrangement arrangement = Arrangement::single;
};

// A pad's place in the order of preference: less is better. Every quantity is rounded to 1e-6 before it is compared, so
// that the last bits of a computation decide nothing.
// method.md 6.18 to 6.20.
struct PadRank {
    int stage = 5;            // 1 sure fill and feed; 2 fill and feed; 3 sure fill; 4 fill; 5 the rest
    double lift_steps = 0.0;  // of stage 5: minus the fill margin, in whole steps and the rest as one more; 0 before
    FeedClass feed = FeedClass::pumped;
    double missing_steps = 0.0;  // minus the pressure in whole steps, capped where more is no gain; 0 for pumped feed
    double length_m = 0.0;       // fill line, weighted, feed pipe, and the pipe along a row
    double missing_kpa = 0.0;    // minus the pressure
    Cell cell;
    Arrangement arrangement = Arrangement::single;
    FillClass fill = FillClass::lifted;  // follows from the rest

    [[nodiscard]] bool better_than(const PadRank& other) const;
    [[nodiscard]] Delivery delivery() const;
};

// What the order looks at, in this order.
enum class PadCriterion : std::uint8_t { stage, lift, feed, pressure_step, length, pressure, place, arrangement };

// The first criterion in which two pads differ; arrangement when they differ in no other.
[[nodiscard]] PadCriterion deciding_criterion(const PadRank& a, const PadRank& b);

// More pressure than surely gives the required one is no gain: the most that counts.
// method.md 6.20.
[[nodiscard]] double useful_kpa(const PadRules& rules);

[[nodiscard]] PadRank rank_of(const PadOffer& offer, const PadRules& rules);

}  // namespace eaveshed
