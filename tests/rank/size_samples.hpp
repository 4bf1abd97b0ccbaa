// Parcels with several sizes each, and their best choice by trying every combination.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "eaveshed/rank/selection.hpp"
#include "rank/offer_samples.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed::testing {

// Whole numbers. One parcel after another, the offers of each beside each other.
struct SizedOffers {
    std::vector<std::string> ids;      // by parcel; stays as it is: the offers refer to it
    std::vector<EnrolmentOffer> list;  // in whole numbers
    std::vector<std::size_t> first;    // by parcel: of its offers; one more at the end
    [[nodiscard]] std::size_t parcels() const { return ids.size(); }
};

// `kind` as in random_offers: gains that follow the cost loosely, tightly, in proportion ...
inline SizedOffers random_sizes(RandomNumbers& random, int parcels, int most_sizes, int most_cost = 40) {
    SizedOffers offers;
    const auto kind = static_cast<Kind>(random.whole(0, 4));
    for (int parcel = 0; parcel < parcels; ++parcel) {
        offers.ids.push_back("p" + std::to_string(100000 + parcel));
    }
    for (const std::string& id : offers.ids) {
        offers.first.push_back(offers.list.size());
        for (int size = random.whole(0, most_sizes); size > 0; --size) {
            const int cost = random.whole(0, kind == Kind::coarse ? 3 : most_cost);
            int gain = random.whole(0, most_cost);
            if (kind == Kind::tight) {
                gain = cost + most_cost / 8;
            } else if (kind == Kind::in_proportion) {
                gain = 2 * cost;
            } else if (kind == Kind::dear || kind == Kind::coarse) {
                gain = random.whole(0, 4);
            }
            offers.list.push_back({id, static_cast<double>(cost), static_cast<double>(gain)});
        }
    }
    offers.first.push_back(offers.list.size());
    return offers;
}

// Of every combination of at most one offer a parcel: `better` says whether the second sum is to be preferred.
template <typename Allowed, typename Better>
std::optional<Sum> best_of_all(const SizedOffers& offers, const Allowed& allowed, const Better& better) {
    std::optional<Sum> best;
    const auto try_from = [&](const auto& self, std::size_t parcel, const Sum& sum) -> void {
        if (parcel == offers.parcels()) {
            if (allowed(sum) && (!best || better(*best, sum))) {
                best = sum;
            }
            return;
        }
        self(self, parcel + 1, sum);
        for (std::size_t i = offers.first[parcel]; i < offers.first[parcel + 1]; ++i) {
            self(self, parcel + 1, {sum.cost + offers.list[i].cost, sum.gain + offers.list[i].gain});
        }
    };
    try_from(try_from, 0, {});
    return best;
}

inline Sum most_gain_of_sizes(const SizedOffers& offers, double budget) {
    return best_of_all(
               offers, [&](const Sum& sum) { return sum.cost <= budget; },
               [](const Sum& a, const Sum& b) { return b.gain > a.gain || (b.gain == a.gain && b.cost < a.cost); })
        .value();
}

inline std::optional<Sum> least_cost_of_sizes(const SizedOffers& offers, double target) {
    return best_of_all(
        offers, [&](const Sum& sum) { return sum.gain >= target; },
        [](const Sum& a, const Sum& b) { return b.cost < a.cost || (b.cost == a.cost && b.gain > a.gain); });
}

}  // namespace eaveshed::testing
