// Whom to enrol for a budget, or for a target of stream gain, from a finished file.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/rank/selection.hpp"
#include "eaveshed/sheet/sheet.hpp"

namespace eaveshed {

// One of budget and target is given.
struct EnrolRequest {
    std::string file;
    std::optional<double> budget;      // in the project's currency
    std::optional<double> target_lps;  // stream gain in the basin, with that of the parcels enrolled already
};

struct Offer {
    std::string parcel_id;
    double cost = 0.0;
    double gain_lps = 0.0;
    double forbearance_m3 = 0.0;
};

struct Enrolment {
    std::string currency;
    std::vector<Offer> offers;       // candidates with a price and a gain
    std::size_t without_price = 0;   // candidates that gain something and have none
    std::size_t without_gain = 0;    // candidates whose take the creek does not feel
    std::size_t enrolled = 0;        // parcels that are enrolled already
    double enrolled_gain_lps = 0.0;  // theirs: it counts as present
    EnrolmentPlan plan;              // positions among the offers
    std::vector<CurvePoint> curve;
};

// Input errors for a file that is not ours, and for one in which no candidate has both a price and a gain.
[[nodiscard]] Enrolment enrolment(const EnrolRequest& request, Findings& findings);

// The plan and the curve, for people.
[[nodiscard]] std::string enrolment_text(const Enrolment& enrolment, const EnrolRequest& request);
// Every offer in the order of the curve, with the sums so far and whether the plan takes it.
[[nodiscard]] Sheet enrolment_table(const Enrolment& enrolment);

}  // namespace eaveshed
