// Whom to enrol with which storage: the choice with the most gain for a budget, or the cheapest one that reaches a
// gain.
//
// Of each parcel at most one of its offers is taken, and the choice is exact. Costs count in hundredths of the currency
// and gains in steps of 1e-9, rounded to the nearest, so that sums, comparisons and ties are those of whole numbers;
// all results are in these steps.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>
#include <vector>

namespace eaveshed {

// One size at one parcel. Offers of the same parcel are alternatives, the smaller size first. `gain`: L/s left in the
// stream, or whatever else is to be had; one unit for all. Both >= 0 and finite (else a broken invariant), as is their
// sum over all offers: < 4e16 currency, < 4e9 units of gain.
struct EnrolmentOffer {
    std::string_view parcel_id;
    double cost = 0.0;
    double gain = 0.0;
};

// Where the search for the best choice stops: counts of partial choices, not seconds, so that it stops at the same
// place everywhere. The defaults are a few seconds and about 200 MB at most.
struct SelectionLimits {
    std::uint64_t visits = 400'000'000;
    std::size_t trail = 4'000'000;
};

struct EnrolmentPlan {
    std::vector<std::size_t> chosen;  // positions in the list, by parcel id; at most one of a parcel
    double cost = 0.0;
    double gain = 0.0;    // with the parcels already enrolled
    bool reached = true;  // the target; always so for a budget
    bool proven = true;   // nothing better exists
    double bound = 0.0;   // budget: a gain that no choice exceeds; target: a cost below which no choice reaches it
    double gap = 0.0;     // between that and the plan, as a share of the greater; 0 when proven
};

// The choice of most gain that costs at most the budget (>= 0); of those the cheapest. `enrolled_gain`: of the
// parcels enrolled already, which are no longer among the offers.
// method.md 8.11, 8.12.
[[nodiscard]] EnrolmentPlan most_gain(std::span<const EnrolmentOffer> offers, double budget, double enrolled_gain = 0.0,
                                      const SelectionLimits& limits = {});

// The cheapest choice whose gain, with that of the parcels enrolled already, is at least the target; of those the one
// of most gain. Where all offers together fall short: all that have a gain, `reached` false.
[[nodiscard]] EnrolmentPlan least_cost(std::span<const EnrolmentOffer> offers, double target,
                                       double enrolled_gain = 0.0, const SelectionLimits& limits = {});

// In both, an offer that costs no less than another of its parcel and gains no more is left out (of equal ones the
// later), as are offers without gain. Parcels of which each could have the offer of the same cost and gain are
// interchangeable: the first by parcel id are chosen.

struct CurvePoint {
    std::size_t offer = 0;  // the one that joins here, instead of a smaller one of its parcel: position in the list
    double cost = 0.0;      // of all that have joined
    double gain = 0.0;      // with the parcels already enrolled
};

// Gain against cost: offers join, and take the place of smaller ones of their parcel, by falling gain added per cost
// added, those without cost first; equals by cost, then parcel id. Only offers on the upper convex hull of their parcel
// join. Every point (of those without cost, the last) is an exact optimum for its own cost: if offers could be taken in
// part, filling up in this order would be best for any budget (Sinha and Zoltners 1979; for one offer a parcel Dantzig
// 1957), and at these points it takes none in part. Between two points an optimum lies on or below the straight line
// between them.
// method.md 8.13.
[[nodiscard]] std::vector<CurvePoint> gain_curve(std::span<const EnrolmentOffer> offers, double enrolled_gain = 0.0);

}  // namespace eaveshed
