// The charts of the basin's page, each an element of its own; empty where there is nothing to draw.
#pragma once

#include <string>
#include <vector>

#include "eaveshed/drawing/chart.hpp"
#include "eaveshed/report/basin_rows.hpp"

namespace eaveshed {

// A number of parcels, and what they add together.
struct AddedSum {
    std::string name;
    std::size_t number = 0;
    double added_m3 = 0.0;
    double added_lps = 0.0;
    bool felt_known = false;  // of at least one of them the water source is known
};
// Of those that can be asked, most added first, ties by name.
[[nodiscard]] std::vector<AddedSum> by_source(const BasinRows& rows);
[[nodiscard]] std::vector<AddedSum> by_delivery(const BasinRows& rows);  // in the list's order

// A curve through points in SI: gain (L/s) against cost, or against the number enrolled.
struct GainCurve {
    std::vector<Point> points;        // beyond what is enrolled already: the first has gained nothing
    std::vector<std::size_t> joined;  // how many parcels have joined at each point
};
// The enrolment curve of offer/enrolment.hpp; no points where no parcel has a price.
[[nodiscard]] GainCurve gain_by_cost(const BasinRows& rows);
// As parcels join in the order of the ranking, each with its recommended size.
[[nodiscard]] GainCurve gain_by_number(const BasinRows& rows);

[[nodiscard]] std::string cost_chart(const BasinRows& rows, const GainCurve& curve);
[[nodiscard]] std::string number_chart(const BasinRows& rows, const GainCurve& curve);
[[nodiscard]] std::string volume_histogram(const BasinRows& rows);
// How many need no pump for sure, perhaps, and surely not.
[[nodiscard]] std::string gravity_bars(const BasinRows& rows);
[[nodiscard]] std::string group_bars(const BasinRows& rows, const DrawingWords& words,
                                     const std::vector<AddedSum>& groups);

}  // namespace eaveshed
