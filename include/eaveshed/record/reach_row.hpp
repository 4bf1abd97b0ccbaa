// The rows of the layer `reaches`: the streams, and what enters and comes together along them.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "eaveshed/record/shared_columns.hpp"
#include "eaveshed/record/table.hpp"

namespace eaveshed {

struct ReachRow {
    static constexpr Table kTable{
        .name = "reaches",
        .title = "Reaches",
        .meaning = "The streams, with the gain of summer flow that enters each reach and that comes down from above.",
        .shape = LayerShape::line,
        .filled_by = FilledBy::gather,
        .rows =
            "LineString in the direction of flow, one row for each line of `[streams]` in its order, or for each reach "
            "that the elevations draw (`streams.derive`), by their heads from the north. Empty without streams.",
        .notes =
            "A gain counts every parcel that storage could help, whatever its owner says: `open_...` counts of these "
            "the added gain of those who may be asked and have a place for a tank, `enrolled_...` the gain of those "
            "who "
            "are enrolled already. Gains of a total are those of the reach and of all reaches that flow into it, so "
            "they "
            "are not to be added up over reaches: the sum over a basin is that of the local ones. `gain_share` is null "
            "without `streams.low_flow_lps`; what a low flow is, and on which day, is the data's own matter."};

    std::string reach_id;
    std::optional<std::string> next_reach_id;
    std::optional<std::string> creek;
    std::optional<std::int64_t> stream_order;
    std::optional<double> length_m;
    std::optional<double> drained_km2;
    std::optional<std::int64_t> parcel_count;
    std::optional<double> gain_local_lps;
    std::optional<double> gain_total_lps;
    std::optional<double> open_local_lps;
    std::optional<double> open_total_lps;
    std::optional<double> enrolled_local_lps;
    std::optional<double> enrolled_total_lps;
    std::optional<double> low_flow_lps;
    std::optional<double> gain_share;

    static constexpr auto list_columns(auto&& use) {
        return use(
            column(&ReachRow::reach_id, shared::kReachId.as("Identifier of the reach: the id field of its line, else "
                                                            "the feature id; of derived streams a number.")),
            column(&ReachRow::next_reach_id,
                   {"next_reach_id", "", "Flows into", "Reach that it flows into; null at an outlet."}),
            column(&ReachRow::creek,
                   {"creek", "", "Creek", "Name of the creek, by streams.name; null where nothing says it."}),
            column(&ReachRow::stream_order,
                   {"stream_order", "1", "Stream order",
                    "Order by Strahler (1957): 1 at a head, one more where two of the highest meet."}),
            column(&ReachRow::length_m, {"length_m", "m", "Length", "Length of the line."}),
            column(&ReachRow::drained_km2,
                   {"drained_km2", "km2", "Ground drained",
                    "Ground that drains through its lower end; null for lines that are given."}),
            column(&ReachRow::parcel_count,
                   {"parcel_count", "1", "Parcels", "Parcels with a stream gain whose offer enters this reach."}),
            column(&ReachRow::gain_local_lps,
                   {"gain_local_lps", "L/s", "Gain entering", "Stream gain of the parcels whose offers enter here."}),
            column(&ReachRow::gain_total_lps, {"gain_total_lps", "L/s", "Gain with upstream",
                                               "The same with that of all reaches that flow into this one."}),
            column(&ReachRow::open_local_lps,
                   {"open_local_lps", "L/s", "Open gain entering",
                    "Added gain of the candidates whose offers enter here: who may be asked and has a pad."}),
            column(&ReachRow::open_total_lps,
                   {"open_total_lps", "L/s", "Open gain with upstream", "The same with that from upstream."}),
            column(&ReachRow::enrolled_local_lps, {"enrolled_local_lps", "L/s", "Enrolled gain entering",
                                                   "Gain of the parcels enrolled already that enter here."}),
            column(&ReachRow::enrolled_total_lps,
                   {"enrolled_total_lps", "L/s", "Enrolled gain with upstream", "The same with that from upstream."}),
            column(&ReachRow::low_flow_lps, shared::kLowFlow),
            column(&ReachRow::gain_share,
                   {"gain_share", "1", "Share of low flow",
                    "Gain with upstream over the low flow; null where that is not known or not above 0."}));
    }
};

}  // namespace eaveshed
