// The one sum that a landowner can redo by hand: what falls on the roofs in a mean winter, and what of it the storage
// is offered. Every number is rounded to the digits that are printed before the next is made from it, so that the
// printed numbers give the printed result.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "eaveshed/record/roof_row.hpp"
#include "eaveshed/settings/settings.hpp"

namespace eaveshed {

// A number as it is printed: so many decimals.
struct Printed {
    double value = 0.0;
    int decimals = 0;

    [[nodiscard]] std::string text() const;  // "1234.5"
};
[[nodiscard]] Printed printed(double value, int decimals);

// Of one roof: area x rain x factor x runoff coefficient x connected share = runoff. In SI area in m2, rain in m,
// volume in m3, and the factor is 1; in US units ft2, in, gal, and 0.6234 gal to the ft2 and inch (144 / 231).
struct HandLine {
    std::string roof_id;
    Printed area;
    Printed rain;
    Printed factor;
    Printed runoff_coefficient;
    Printed connected_share;
    Printed runoff;  // the product of these, rounded
};

// runoffs added - first flush = clean; clean x efficiency = harvest. Of a mean winter.
struct HandSum {
    OutputUnits units = OutputUnits::si;
    std::vector<HandLine> roofs;
    Printed runoff;
    Printed first_flush;
    Printed efficiency;
    Printed harvest;  // (runoff - first flush) x efficiency, rounded
};

// `roofs`: those that fill the storage, computed, with their ids. Its result is the mean winter harvest to rounding,
// since harvest = efficiency x (runoff - first flush) in every step (rain/harvest.hpp). None without roofs.
// method.md 3.1 to 3.4.
[[nodiscard]] std::optional<HandSum> hand_sum(std::span<const RoofRow> roofs, double collection_efficiency,
                                              OutputUnits units);

// "150 m2 of roof x 1.100 m of rain x 0.85 that runs off x 0.75 that reaches the downspouts = 105.2 m3; less 4.1 m3 of
// first flush, and 5 % lost on the way: (105.2 - 4.1) x 0.95 = 96.0 m3 in a mean winter."
[[nodiscard]] std::string hand_sentence(const HandSum& sum);

}  // namespace eaveshed
