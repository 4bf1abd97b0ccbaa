#include "eaveshed/rank/selection.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

#include "eaveshed/core/error.hpp"
#include "knapsack.hpp"

namespace eaveshed {

namespace {

constexpr double kCostSteps = 100.0;
constexpr double kGainSteps = 1e9;
constexpr double kMostSteps = 4e18;  // of a sum: leaves room below 2^62

std::int64_t steps_of(double value, double steps) {
    const double whole = std::round(value * steps);
    if (!(whole >= 0.0) || whole > kMostSteps) {
        internal_error("an amount for enrolment that is negative, not finite or too great");
    }
    return static_cast<std::int64_t>(whole);
}

double amount_of(std::int64_t count, double steps) {
    return static_cast<double>(count) / steps;
}

struct CountedOffer {
    std::int64_t cost = 0;
    std::int64_t gain = 0;
    friend bool operator<(const CountedOffer& a, const CountedOffer& b) {
        return a.cost != b.cost ? a.cost < b.cost : a.gain < b.gain;
    }
};

// The offers in whole steps, by parcel id; equal ids as given.
struct OfferList {
    std::vector<std::size_t> place;  // in the list given
    std::vector<CountedOffer> offers;
    CountedOffer sum;  // over those with a gain
};

OfferList counted(std::span<const EnrolmentOffer> offers) {
    OfferList list;
    list.place.resize(offers.size());
    std::iota(list.place.begin(), list.place.end(), std::size_t{0});
    std::stable_sort(list.place.begin(), list.place.end(),
                     [&](std::size_t a, std::size_t b) { return offers[a].parcel_id < offers[b].parcel_id; });
    double cost = 0.0;
    double gain = 0.0;
    for (const std::size_t place : list.place) {
        const CountedOffer offer{steps_of(offers[place].cost, kCostSteps),
                                 steps_of(offers[place].gain_lps, kGainSteps)};
        cost += static_cast<double>(offer.cost);
        gain += static_cast<double>(offer.gain);
        if (cost > kMostSteps || gain > kMostSteps) {
            internal_error("a sum for enrolment that is too great");
        }
        list.offers.push_back(offer);
        if (offer.gain > 0) {
            list.sum.cost += offer.cost;
            list.sum.gain += offer.gain;
        }
    }
    return list;
}

// Of offers of the same cost and gain, as many as were chosen, but the first by parcel id.
void prefer_first_ids(const OfferList& list, std::vector<bool>& chosen) {
    std::map<CountedOffer, std::size_t> seats;
    for (std::size_t i = 0; i < chosen.size(); ++i) {
        seats[list.offers[i]] += chosen[i] ? 1U : 0U;
    }
    for (std::size_t i = 0; i < chosen.size(); ++i) {
        std::size_t& left = seats[list.offers[i]];
        chosen[i] = left > 0;
        left -= chosen[i] ? 1U : 0U;
    }
}

EnrolmentPlan plan_of(const OfferList& list, std::vector<bool> chosen, std::int64_t enrolled_gain) {
    prefer_first_ids(list, chosen);
    EnrolmentPlan plan;
    CountedOffer sum{0, enrolled_gain};
    for (std::size_t i = 0; i < chosen.size(); ++i) {
        if (chosen[i]) {
            plan.chosen.push_back(list.place[i]);
            sum.cost += list.offers[i].cost;
            sum.gain += list.offers[i].gain;
        }
    }
    plan.cost = amount_of(sum.cost, kCostSteps);
    plan.gain_lps = amount_of(sum.gain, kGainSteps);
    return plan;
}

void state_gap(EnrolmentPlan& plan, double value, double bound) {
    plan.bound = bound;
    plan.proven = value == bound;
    plan.gap = plan.proven ? 0.0 : std::abs(bound - value) / std::max(bound, value);
}

KnapsackLimits knapsack_limits(const SelectionLimits& limits) {
    return {.visits = limits.visits, .trail = limits.trail};
}

// A knapsack over some of the offers.
struct PartialKnapsack {
    std::vector<std::size_t> offers;
    std::vector<KnapsackItem> items;

    void add(std::size_t offer, KnapsackItem item) {
        offers.push_back(offer);
        items.push_back(item);
    }
};

}  // namespace

EnrolmentPlan most_gain(std::span<const EnrolmentOffer> offers, double budget, double enrolled_gain_lps,
                        const SelectionLimits& limits) {
    const OfferList list = counted(offers);
    const std::int64_t enrolled = steps_of(enrolled_gain_lps, kGainSteps);
    std::vector<bool> chosen(offers.size(), false);
    PartialKnapsack knapsack;
    std::int64_t free_gain = 0;
    for (std::size_t i = 0; i < chosen.size(); ++i) {
        const CountedOffer& offer = list.offers[i];
        if (offer.gain > 0 && offer.cost > 0) {
            knapsack.add(i, {.weight = offer.cost, .profit = offer.gain});
        } else if (offer.gain > 0) {
            chosen[i] = true;
            free_gain += offer.gain;
        }
    }
    const KnapsackResult best = solve_knapsack(knapsack.items, steps_of(budget, kCostSteps), knapsack_limits(limits));
    for (std::size_t k = 0; k < knapsack.offers.size(); ++k) {
        chosen[knapsack.offers[k]] = best.taken[k];
    }
    EnrolmentPlan plan = plan_of(list, std::move(chosen), enrolled);
    state_gap(plan, plan.gain_lps, amount_of(best.profit_bound + free_gain + enrolled, kGainSteps));
    return plan;
}

// The mirror image: which parcels to leave out, so as to save the most cost, while the gain that they take with them is
// no more than what all together have to spare.
EnrolmentPlan least_cost(std::span<const EnrolmentOffer> offers, double target_lps, double enrolled_gain_lps,
                         const SelectionLimits& limits) {
    const OfferList list = counted(offers);
    const std::int64_t enrolled = steps_of(enrolled_gain_lps, kGainSteps);
    const std::int64_t needed = steps_of(target_lps, kGainSteps) - enrolled;
    const std::int64_t spare = list.sum.gain - needed;
    std::vector<bool> chosen(offers.size(), false);
    PartialKnapsack knapsack;
    for (std::size_t i = 0; i < chosen.size(); ++i) {
        const CountedOffer& offer = list.offers[i];
        chosen[i] = offer.gain > 0;
        if (offer.gain > 0 && offer.cost > 0) {
            knapsack.add(i, {.weight = offer.gain, .profit = offer.cost});
        }
    }
    if (spare < 0) {
        EnrolmentPlan plan = plan_of(list, std::move(chosen), enrolled);
        plan.reached = false;
        state_gap(plan, plan.cost, plan.cost);
        return plan;
    }
    const KnapsackResult saved = solve_knapsack(knapsack.items, spare, knapsack_limits(limits));
    for (std::size_t k = 0; k < knapsack.offers.size(); ++k) {
        chosen[knapsack.offers[k]] = !saved.taken[k];
    }
    EnrolmentPlan plan = plan_of(list, std::move(chosen), enrolled);
    state_gap(plan, plan.cost, amount_of(list.sum.cost - saved.profit_bound, kCostSteps));
    return plan;
}

std::vector<CurvePoint> gain_curve(std::span<const EnrolmentOffer> offers, double enrolled_gain_lps) {
    const OfferList list = counted(offers);
    std::vector<std::size_t> order;
    for (std::size_t i = 0; i < list.offers.size(); ++i) {
        if (list.offers[i].gain > 0) {
            order.push_back(i);
        }
    }
    const auto item = [&](std::size_t i) { return KnapsackItem{list.offers[i].cost, list.offers[i].gain}; };
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        if (is_richer(item(a), item(b)) || is_richer(item(b), item(a))) {
            return is_richer(item(a), item(b));
        }
        return list.offers[a].cost < list.offers[b].cost;
    });
    std::vector<CurvePoint> curve;
    CountedOffer sum{0, steps_of(enrolled_gain_lps, kGainSteps)};
    for (const std::size_t i : order) {
        sum.cost += list.offers[i].cost;
        sum.gain += list.offers[i].gain;
        curve.push_back({list.place[i], amount_of(sum.cost, kCostSteps), amount_of(sum.gain, kGainSteps)});
    }
    return curve;
}

}  // namespace eaveshed
