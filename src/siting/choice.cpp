#include "eaveshed/siting/choice.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <tuple>

#include "eaveshed/core/constants.hpp"
#include "eaveshed/hydraulics/certainty.hpp"

namespace eaveshed {

namespace {

double rounded(double value) {
    constexpr double kMillion = 1e6;
    return std::floor(value * kMillion + 0.5) / kMillion;
}

FeedClass feed_class(double rounded_kpa, const PadRules& rules) {
    if (rounded_kpa >= rules.required_kpa) {
        return FeedClass::gravity;
    }
    return rounded_kpa >= rules.minimum_kpa ? FeedClass::low : FeedClass::pumped;
}

FillClass fill_class(double rounded_margin_m, double fill_sd_m) {
    if (rounded_margin_m < 0.0) {
        return FillClass::lifted;
    }
    return rounded_margin_m >= rounded(sure_margin_m(fill_sd_m)) ? FillClass::sure : FillClass::likely;
}

int stage_of(FillClass fill, FeedClass feed) {
    if (fill == FillClass::lifted) {
        return 5;
    }
    const int by_fill = fill == FillClass::sure ? 1 : 2;
    return feed == FeedClass::pumped ? by_fill + 2 : by_fill;
}

}  // namespace

double useful_kpa(const PadRules& rules) {
    return rules.required_kpa + kSureSds * kKpaPerMetre * rules.elevation_sd_m * std::numbers::sqrt2;
}

PadCriterion deciding_criterion(const PadRank& a, const PadRank& b) {
    if (a.stage != b.stage) {
        return PadCriterion::stage;
    }
    if (a.lift_steps != b.lift_steps) {
        return PadCriterion::lift;
    }
    if (a.feed != b.feed) {
        return PadCriterion::feed;
    }
    if (a.missing_steps != b.missing_steps) {
        return PadCriterion::pressure_step;
    }
    if (a.length_m != b.length_m) {
        return PadCriterion::length;
    }
    if (a.missing_kpa != b.missing_kpa) {
        return PadCriterion::pressure;
    }
    return a.cell != b.cell ? PadCriterion::place : PadCriterion::arrangement;
}

PadRank rank_of(const PadOffer& offer, const PadRules& rules) {
    const double margin_m = rounded(offer.fill_margin_m);
    const double pressure_kpa = rounded(offer.pressure_kpa);
    PadRank rank;
    rank.feed = feed_class(pressure_kpa, rules);
    rank.fill = fill_class(margin_m, offer.fill_sd_m);
    rank.stage = stage_of(rank.fill, rank.feed);
    if (rank.fill == FillClass::lifted) {
        rank.lift_steps = -std::floor(margin_m / rules.lift_step_m);
    }
    if (rank.feed != FeedClass::pumped) {
        const double counted_kpa = rounded(std::min(offer.pressure_kpa, useful_kpa(rules)));
        rank.missing_steps = -std::floor(counted_kpa / rules.pressure_step_kpa);
    }
    rank.length_m = rounded(rules.fill_weight * offer.fill_distance_m + offer.pipe_m + offer.row_span_m);
    rank.missing_kpa = -pressure_kpa;
    rank.cell = offer.cell;
    rank.arrangement = offer.arrangement;
    return rank;
}

bool PadRank::better_than(const PadRank& other) const {
    const auto order = [](const PadRank& rank) {
        return std::tie(rank.stage, rank.lift_steps, rank.feed, rank.missing_steps, rank.length_m, rank.missing_kpa,
                        rank.cell, rank.arrangement);
    };
    return order(*this) < order(other);
}

Delivery PadRank::delivery() const {
    if (fill == FillClass::lifted) {
        return Delivery::pumped_fill;
    }
    switch (feed) {
        case FeedClass::gravity: return Delivery::gravity;
        case FeedClass::low: return Delivery::low_pressure;
        case FeedClass::pumped: break;
    }
    return Delivery::pumped_feed;
}

}  // namespace eaveshed
