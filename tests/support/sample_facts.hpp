// A roof or parcel of which everything is known, each value another: for tests that walk the tables of facts.
#pragma once

#include <string>

#include "eaveshed/facts/walk.hpp"

namespace eaveshed::testing {

// Numbers inside the fact's range, words that name the fact; others for another `seed` from 0 to 9.
template <typename Facts>
double sample_number(const KnownFact<Facts>& fact, int seed) {
    const double low = fact.range.limited() ? fact.range.low : 0.0;
    const double high = fact.range.limited() ? fact.range.high : 1.0;
    const auto row = static_cast<double>(&fact - FactsOf<Facts>::table.data());
    return low + (high - low) * (row + 1.0 + seed / 10.0) / 32.0;
}

template <typename Facts>
Facts sample_facts(int seed = 0) {
    Facts facts;
    for (const KnownFact<Facts>& fact : FactsOf<Facts>::table) {
        if (const auto* const text = std::get_if<std::optional<std::string> Facts::*>(&fact.member)) {
            facts.** text = std::string(fact.name) + " " + std::to_string(seed);
        } else {
            facts.*std::get<std::optional<double> Facts::*>(fact.member) = sample_number(fact, seed);
        }
    }
    return facts;
}

}  // namespace eaveshed::testing
