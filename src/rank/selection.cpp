#include "eaveshed/rank/selection.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <numeric>
#include <optional>

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

// In whole steps.
struct CountedOffer {
    std::int64_t cost = 0;
    std::int64_t gain = 0;
    std::size_t place = 0;  // in the list given

    [[nodiscard]] auto amounts() const { return std::pair(cost, gain); }
};

// Of a parcel, by strictly rising cost and gain; the gain above 0.
using CountedParcel = std::vector<CountedOffer>;

// Of offers that cost no less than another and gain no more, none; of equal ones the first.
CountedParcel worth_a_thought(CountedParcel offers) {
    std::stable_sort(offers.begin(), offers.end(), [](const CountedOffer& a, const CountedOffer& b) {
        return a.cost != b.cost ? a.cost < b.cost : a.gain > b.gain;
    });
    CountedParcel kept;
    for (const CountedOffer& offer : offers) {
        if (offer.gain > (kept.empty() ? 0 : kept.back().gain)) {
            kept.push_back(offer);
        }
    }
    return kept;
}

// By parcel id, those of one parcel in the order given.
std::vector<CountedParcel> counted(std::span<const EnrolmentOffer> offers) {
    std::vector<std::size_t> order(offers.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return offers[a].parcel_id < offers[b].parcel_id; });
    std::vector<CountedParcel> parcels;
    double cost = 0.0;
    double gain = 0.0;
    for (std::size_t i = 0; i < order.size(); ++i) {
        const EnrolmentOffer& offer = offers[order[i]];
        const CountedOffer steps{steps_of(offer.cost, kCostSteps), steps_of(offer.gain, kGainSteps), order[i]};
        cost += static_cast<double>(steps.cost);
        gain += static_cast<double>(steps.gain);
        if (cost > kMostSteps || gain > kMostSteps) {
            internal_error("a sum for enrolment that is too great");
        }
        if (i == 0 || offer.parcel_id != offers[order[i - 1]].parcel_id) {
            parcels.emplace_back();
        }
        parcels.back().push_back(steps);
    }
    for (CountedParcel& parcel : parcels) {
        parcel = worth_a_thought(std::move(parcel));
    }
    return parcels;
}

// Which offer of each parcel is taken; none: kNone.
using Taken = std::vector<std::size_t>;
constexpr std::size_t kNone = std::numeric_limits<std::size_t>::max();

// Where several parcels could have an offer of the same cost and gain and only some of them take part, those are the
// first by parcel id.
void prefer_first_ids(const std::vector<CountedParcel>& parcels, Taken& taken) {
    std::map<std::pair<std::int64_t, std::int64_t>, std::vector<std::pair<std::size_t, std::size_t>>> alike;
    for (std::size_t parcel = 0; parcel < parcels.size(); ++parcel) {
        for (std::size_t offer = 0; offer < parcels[parcel].size(); ++offer) {
            alike[parcels[parcel][offer].amounts()].emplace_back(parcel, offer);
        }
    }
    for (const auto& [amounts, holders] : alike) {
        std::size_t seats = 0;
        for (const auto& [parcel, offer] : holders) {
            seats += taken[parcel] == offer ? 1U : 0U;
        }
        for (const auto& [parcel, offer] : holders) {
            if (taken[parcel] != offer && taken[parcel] != kNone) {
                continue;
            }
            taken[parcel] = seats > 0 ? offer : kNone;
            seats -= seats > 0 ? 1U : 0U;
        }
    }
}

EnrolmentPlan plan_of(const std::vector<CountedParcel>& parcels, Taken taken, std::int64_t enrolled_gain) {
    prefer_first_ids(parcels, taken);
    EnrolmentPlan plan;
    CountedOffer sum{.gain = enrolled_gain};
    for (std::size_t parcel = 0; parcel < parcels.size(); ++parcel) {
        if (taken[parcel] != kNone) {
            const CountedOffer& offer = parcels[parcel][taken[parcel]];
            plan.chosen.push_back(offer.place);
            sum.cost += offer.cost;
            sum.gain += offer.gain;
        }
    }
    plan.cost = amount_of(sum.cost, kCostSteps);
    plan.gain = amount_of(sum.gain, kGainSteps);
    return plan;
}

void state_gap(EnrolmentPlan& plan, double value, double bound) {
    plan.bound = bound;
    plan.proven = value == bound;
    plan.gap = plan.proven ? 0.0 : std::abs(bound - value) / std::max(bound, value);
}

// A knapsack's groups with what each of their levels stands for. The level 0 may stand for an offer too, whose amounts
// are then in `base`.
struct Alternatives {
    std::vector<KnapsackGroup> groups;
    std::vector<Taken> stand_for;  // by group and level
    KnapsackItem base;

    void add(const Taken& levels, const std::vector<KnapsackItem>& items) {
        base.weight += items.front().weight;
        base.profit += items.front().profit;
        KnapsackGroup group;
        for (std::size_t level = 1; level < items.size(); ++level) {
            group.push_back({items[level].weight - items.front().weight, items[level].profit - items.front().profit});
        }
        groups.push_back(std::move(group));
        stand_for.push_back(levels);
    }
    [[nodiscard]] Taken taken(const KnapsackResult& result) const {
        Taken taken(groups.size(), kNone);
        for (std::size_t i = 0; i < groups.size(); ++i) {
            taken[i] = stand_for[i][result.level[i]];
        }
        return taken;
    }
};

// Cost is the weight, gain the profit. An offer without cost is taken at least.
Alternatives by_cost(const std::vector<CountedParcel>& parcels) {
    Alternatives all;
    for (const CountedParcel& parcel : parcels) {
        Taken levels;
        std::vector<KnapsackItem> items;
        if (parcel.empty() || parcel.front().cost > 0) {
            levels.push_back(kNone);
            items.emplace_back();
        }
        for (std::size_t offer = 0; offer < parcel.size(); ++offer) {
            levels.push_back(offer);
            items.push_back({.weight = parcel[offer].cost, .profit = parcel[offer].gain});
        }
        all.add(levels, items);
    }
    return all;
}

// The mirror image: from the greatest offer of each parcel downwards. The gain that is lost is the weight, the cost
// that is saved the profit.
Alternatives by_gain_lost(const std::vector<CountedParcel>& parcels) {
    Alternatives all;
    for (const CountedParcel& parcel : parcels) {
        Taken levels;
        std::vector<KnapsackItem> items;
        for (std::size_t offer = parcel.size(); offer-- > 0;) {
            levels.push_back(offer);
            items.push_back(
                {.weight = parcel.back().gain - parcel[offer].gain, .profit = parcel.back().cost - parcel[offer].cost});
        }
        if (parcel.empty() || parcel.front().cost > 0) {
            levels.push_back(kNone);
            items.push_back(parcel.empty() ? KnapsackItem{}
                                           : KnapsackItem{.weight = parcel.back().gain, .profit = parcel.back().cost});
        }
        all.add(levels, items);
    }
    return all;
}

KnapsackLimits knapsack_limits(const SelectionLimits& limits) {
    return {.visits = limits.visits, .trail = limits.trail};
}

}  // namespace

EnrolmentPlan most_gain(std::span<const EnrolmentOffer> offers, double budget, double enrolled_gain,
                        const SelectionLimits& limits) {
    const std::vector<CountedParcel> parcels = counted(offers);
    const std::int64_t enrolled = steps_of(enrolled_gain, kGainSteps);
    const Alternatives all = by_cost(parcels);
    const KnapsackResult best = solve_knapsack(all.groups, steps_of(budget, kCostSteps), knapsack_limits(limits));
    EnrolmentPlan plan = plan_of(parcels, all.taken(best), enrolled);
    state_gap(plan, plan.gain, amount_of(best.profit_bound + all.base.profit + enrolled, kGainSteps));
    return plan;
}

EnrolmentPlan least_cost(std::span<const EnrolmentOffer> offers, double target, double enrolled_gain,
                         const SelectionLimits& limits) {
    const std::vector<CountedParcel> parcels = counted(offers);
    const std::int64_t enrolled = steps_of(enrolled_gain, kGainSteps);
    CountedOffer most;
    for (const CountedParcel& parcel : parcels) {
        most.cost += parcel.empty() ? 0 : parcel.back().cost;
        most.gain += parcel.empty() ? 0 : parcel.back().gain;
    }
    const Alternatives all = by_gain_lost(parcels);
    const std::int64_t spare = most.gain - (steps_of(target, kGainSteps) - enrolled);
    if (spare < 0) {
        EnrolmentPlan plan =
            plan_of(parcels, all.taken({.level = std::vector<std::uint32_t>(parcels.size(), 0)}), enrolled);
        plan.reached = false;
        state_gap(plan, plan.cost, plan.cost);
        return plan;
    }
    const KnapsackResult saved = solve_knapsack(all.groups, spare, knapsack_limits(limits));
    EnrolmentPlan plan = plan_of(parcels, all.taken(saved), enrolled);
    state_gap(plan, plan.cost, amount_of(most.cost - saved.profit_bound, kCostSteps));
    return plan;
}

std::vector<CurvePoint> gain_curve(std::span<const EnrolmentOffer> offers, double enrolled_gain) {
    const std::vector<CountedParcel> parcels = counted(offers);
    std::vector<KnapsackGroup> groups;
    for (const CountedParcel& parcel : parcels) {
        KnapsackGroup& group = groups.emplace_back();
        for (const CountedOffer& offer : parcel) {
            group.push_back({.weight = offer.cost, .profit = offer.gain});
        }
    }
    std::vector<CurvePoint> curve;
    CountedOffer sum{.gain = steps_of(enrolled_gain, kGainSteps)};
    for (const Upgrade& upgrade : upgrades_of(groups, std::numeric_limits<std::int64_t>::max())) {
        sum.cost += upgrade.step.weight;
        sum.gain += upgrade.step.profit;
        curve.push_back({.offer = parcels[upgrade.group][upgrade.to - 1].place,
                         .cost = amount_of(sum.cost, kCostSteps),
                         .gain = amount_of(sum.gain, kGainSteps)});
    }
    return curve;
}

}  // namespace eaveshed
