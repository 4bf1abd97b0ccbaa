// What was seen of a parcel of an even sample: by it the checks of core/check_code.hpp judge what the data say of
// parcels.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"

namespace eaveshed {

// Values as the data give them, in the unit of their name; none where they give none or 0.
struct ParcelSample {
    std::string id;  // as messages show it
    std::optional<double> people;
    std::optional<double> garden_m2;
    std::optional<double> open_m2;  // area less that of its roofs; above 0
    std::optional<double> season_use_m3;
    std::optional<double> tank_m3;
    std::optional<double> pump_lps;
    std::optional<double> stream_m;  // by the data
    std::optional<double> line_m;    // from its middle to the nearest line of [streams]
};

// Every check that asks single parcels; in the table's order. Fewer than kLeastJudged parcels with what a check asks
// for do not make it speak. `where`: how messages name the parcels. Each finding has the share of the parcels concerned
// and the middle one of them as an example.
void judge_parcels(const std::vector<ParcelSample>& sample, const std::string& where, Findings& findings);

}  // namespace eaveshed
