// The headline of a run: all that storage could replace, in parts that add up to the whole, by what becomes of it.
// Publish sums the parts over the rows, the run record keeps them, the page prints them.
#pragma once

#include <cstdint>

#include "eaveshed/core/closed_list.hpp"

namespace eaveshed {

// Each parcel (without parcels: each roof) is in one part: the first, from `enrolled` on, that applies; then one of the
// three candidates' parts.
enum class HeadlinePart : std::uint8_t {
    creek,
    source_not_known,
    other_source,
    stored_already,
    enrolled,
    closed,
    no_place,
    not_seen,
    no_use,
    not_computed,
};
template <>
inline constexpr TermList<10> kTermList<HeadlinePart>{
    "headline",
    "what becomes of the summer take that storage could replace",
    {{
        {"creek", "can be asked: the creek feels it"},
        {"source_not_known", "can be asked: water source not known"},
        {"other_source", "can be asked: the creek does not feel it"},
        {"stored_already", "replaced already by storage that is there"},
        {"enrolled", "enrolled already"},
        {"closed", "left out: declined or not to be asked"},
        {"no_place", "left out: no place for a tank"},
        {"not_seen", "left out: elevations do not show the site"},
        {"no_use", "left out: a tank would replace nothing"},
        {"not_computed", "left out: no roof computed"},
    }}};

// Sums over parcels or roofs.
struct HeadlineSum {
    std::uint64_t number = 0;
    double forbearance_m3 = 0.0;  // replaced each season
    double felt_m3 = 0.0;         // of it what the creek feels within the season
    double felt_lps = 0.0;        // the same as a mean flow over the forbearance months

    void add(const HeadlineSum& other) {
        number += other.number;
        forbearance_m3 += other.forbearance_m3;
        felt_m3 += other.felt_m3;
        felt_lps += other.felt_lps;
    }
};
using Headline = PerTerm<HeadlinePart, HeadlineSum>;

[[nodiscard]] inline HeadlineSum sum_of(const Headline& headline) {
    HeadlineSum all;
    for (const HeadlineSum& part : headline) {
        all.add(part);
    }
    return all;
}

}  // namespace eaveshed
