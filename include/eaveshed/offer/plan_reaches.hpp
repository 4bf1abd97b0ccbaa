// What a plan of enrolment leaves in each reach, with what is enrolled already and with what comes from upstream.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "eaveshed/offer/enrolment.hpp"
#include "eaveshed/sheet/sheet.hpp"

namespace eaveshed {

// All >= 0, L/s; a total is that of the reach and of all reaches that flow into it.
struct PlanReach {
    double enrolled_total_lps = 0.0;
    double added_local_lps = 0.0;  // by the plan
    double added_total_lps = 0.0;
    double with_plan_lps = 0.0;  // both totals together

    std::optional<double> share;  // of the low flow; none where that is not known
};

struct PlanReaches {
    std::vector<PlanReach> reaches;  // by reach of the file
    double enrolled_lps = 0.0;       // by all parcels enrolled already, whatever the plan was asked for
    double added_lps = 0.0;          // by the plan
    double no_reach_lps = 0.0;       // of both what enters no reach: the rest comes together at the outlets
};

// Of stream gain, whatever the plan was made for; without reaches all of it enters none.
// method.md 7.15.
[[nodiscard]] PlanReaches plan_reaches(const Enrolment& enrolment);

// The reaches with the most gain, for people; empty for a file without streams.
[[nodiscard]] std::string plan_reaches_text(const Enrolment& enrolment);
// Every reach of the file in its order, in SI and not rounded, to be joined to the layer by reach_id.
[[nodiscard]] Sheet plan_reaches_table(const Enrolment& enrolment);

}  // namespace eaveshed
