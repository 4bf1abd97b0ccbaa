// Small lists of offers, and their best choice by trying every subset.
#pragma once

#include <cmath>
#include <cstddef>
#include <string>
#include <vector>

#include "eaveshed/rank/selection.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed::testing {

// Offers with ids that they refer to. Whole numbers here, so that sums are exact.
struct Offers {
    std::vector<std::string> ids;
    std::vector<EnrolmentOffer> list;
};

inline Offers offers_of(const std::vector<int>& costs, const std::vector<int>& gains) {
    Offers offers;
    for (std::size_t i = 0; i < costs.size(); ++i) {
        offers.ids.push_back(std::string(1, static_cast<char>('a' + i)));
    }
    for (std::size_t i = 0; i < costs.size(); ++i) {
        offers.list.push_back({offers.ids[i], static_cast<double>(costs[i]), static_cast<double>(gains[i])});
    }
    return offers;
}

enum class Kind { loose, tight, in_proportion, coarse, dear };

inline Offers random_offers(RandomNumbers& random, int count) {
    const auto kind = static_cast<Kind>(random.whole(0, 4));
    std::vector<int> costs;
    std::vector<int> gains;
    for (int i = 0; i < count; ++i) {
        const int cost = random.whole(0, kind == Kind::coarse ? 3 : kind == Kind::dear ? 100 : 40);
        costs.push_back(cost);
        switch (kind) {
            case Kind::loose: gains.push_back(random.whole(0, 40)); break;
            case Kind::tight: gains.push_back(cost + 5); break;
            case Kind::in_proportion: gains.push_back(2 * cost); break;
            case Kind::dear: gains.push_back(random.whole(0, 6)); break;
            case Kind::coarse: gains.push_back(random.whole(0, 3)); break;
        }
    }
    return offers_of(costs, gains);
}

// The same numbers as hundredths of the currency and 1e-9 L/s, the steps in which the program counts, so that a single
// step more or less shows; and back.
inline constexpr double kHundredths = 100.0;
inline constexpr double kNanolitres = 1e9;

inline std::vector<EnrolmentOffer> in_steps(const std::vector<EnrolmentOffer>& offers) {
    std::vector<EnrolmentOffer> steps = offers;
    for (EnrolmentOffer& offer : steps) {
        offer.cost /= kHundredths;
        offer.gain /= kNanolitres;
    }
    return steps;
}

inline EnrolmentPlan in_whole_numbers(EnrolmentPlan plan, double bound_steps) {
    plan.cost = std::round(plan.cost * kHundredths);
    plan.gain = std::round(plan.gain * kNanolitres);
    plan.bound = std::round(plan.bound * bound_steps);
    return plan;
}

struct Sum {
    double cost = 0.0;
    double gain = 0.0;
};

inline Sum sum_of(const std::vector<EnrolmentOffer>& offers, unsigned subset) {
    Sum sum;
    for (std::size_t i = 0; i < offers.size(); ++i) {
        if ((subset >> i & 1U) != 0) {
            sum.cost += offers[i].cost;
            sum.gain += offers[i].gain;
        }
    }
    return sum;
}

// By trying every subset.
inline Sum most_gain_of_all(const std::vector<EnrolmentOffer>& offers, double budget) {
    Sum best;
    for (unsigned subset = 0; subset < 1U << offers.size(); ++subset) {
        const Sum sum = sum_of(offers, subset);
        if (sum.cost <= budget && (sum.gain > best.gain || (sum.gain == best.gain && sum.cost < best.cost))) {
            best = sum;
        }
    }
    return best;
}

}  // namespace eaveshed::testing
