// Whom to enrol: the set of parcels with the most stream gain for a budget, or the cheapest one that reaches a gain.
//
// Each parcel is taken whole or not at all, and the choice is exact. Costs count in hundredths of the currency and
// gains in 1e-9 L/s, rounded to the nearest, so that sums, comparisons and ties are those of whole numbers; all results
// are in these steps.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>
#include <vector>

namespace eaveshed {

// Both >= 0 and finite (else a broken invariant), as is their sum over all offers: < 4e16 currency, < 4e9 L/s.
struct EnrolmentOffer {
    std::string_view parcel_id;
    double cost = 0.0;
    double gain_lps = 0.0;
};

// Where the search for the best choice stops: counts of partial choices, not seconds, so that it stops at the same
// place everywhere. The defaults are a few seconds and about 200 MB at most.
struct SelectionLimits {
    std::uint64_t visits = 400'000'000;
    std::size_t trail = 4'000'000;
};

struct EnrolmentPlan {
    std::vector<std::size_t> chosen;  // positions in the list, by parcel id
    double cost = 0.0;
    double gain_lps = 0.0;  // with the parcels already enrolled
    bool reached = true;    // the target; always so for a budget
    bool proven = true;     // nothing better exists
    double bound = 0.0;     // budget: a gain that no choice exceeds; target: a cost below which no choice reaches it
    double gap = 0.0;       // between that and the plan, as a share of the greater; 0 when proven
};

// The choice of most gain that costs at most the budget (>= 0); of those the cheapest. `enrolled_gain_lps`: of the
// parcels enrolled already, which are no longer among the offers.
// method.md 8.11, 8.12.
[[nodiscard]] EnrolmentPlan most_gain(std::span<const EnrolmentOffer> offers, double budget,
                                      double enrolled_gain_lps = 0.0, const SelectionLimits& limits = {});

// The cheapest choice whose gain, with that of the parcels enrolled already, is at least the target; of those the one
// of most gain. Where all offers together fall short: all that have a gain, `reached` false.
[[nodiscard]] EnrolmentPlan least_cost(std::span<const EnrolmentOffer> offers, double target_lps,
                                       double enrolled_gain_lps = 0.0, const SelectionLimits& limits = {});

// In both, offers of the same cost and gain are interchangeable: the first by parcel id are chosen. Offers without gain
// are never chosen.

struct CurvePoint {
    std::size_t offer = 0;  // the one that joins here: position in the list
    double cost = 0.0;      // of it and all before
    double gain_lps = 0.0;  // with the parcels already enrolled
};

// Gain against cost: the offers join by falling gain per cost, those without cost first; equals by cost, then parcel
// id. Every point (of those without cost, the last) is an exact optimum for its own cost: if parcels could be enrolled
// in part, filling up in this order would be best for any budget (Dantzig 1957), and at these points it enrols none in
// part. Between two points an optimum lies on or below the straight line between them.
// method.md 8.13.
[[nodiscard]] std::vector<CurvePoint> gain_curve(std::span<const EnrolmentOffer> offers,
                                                 double enrolled_gain_lps = 0.0);

}  // namespace eaveshed
