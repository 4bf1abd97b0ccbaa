// The stream that a roof's or parcel's summer water stays in.
#include <string>

#include "explain_parts.hpp"

namespace eaveshed {

namespace {

// What the three columns of the reach say, and the sub-basin; none of them is there without streams.
template <typename Row>
void add_reach(const Row& row, const Settings& settings, SectionWriter& section) {
    if (row.reach_id) {
        section.text("reach_id", "Reach", *row.reach_id,
                     settings.streams.derive ? "derived from the elevations" : "of streams.source");
        section.text("reach_entry", "Found by", named(row.reach_entry.value()));
        section.add(metres(' ', "reach_distance_m", "Way to it", value_of(row.reach_distance_m),
                           row.reach_entry == EntryWay::flow ? "down the slopes, from cell to cell" : "straight"));
    }
    if (row.subbasin_id) {
        section.text("subbasin_id", "Sub-basin", *row.subbasin_id,
                     settings.subbasins.from.given() ? "of subbasins.source"
                                                     : "the catchment that its place drains to, named by its reach");
    }
}

}  // namespace

std::string stream_distance_text(const ParcelFacts& facts, const Settings& settings, const QuantityText& units) {
    if (facts.stream_distance_m || !facts.nearest_reach_m) {
        return from_data(settings, facts, &ParcelFacts::stream_distance_m);
    }
    return fmt::format("{} from its diversion, else from the middle of the parcel, to the nearest reach",
                       units.text("m", facts.nearest_reach_m));
}

void add_stream_section(const RoofRow& row, const Settings& settings, Document& document) {
    if (row.reach_id || row.subbasin_id) {
        SectionWriter section(document, "stream", "The stream that it counts to");
        add_reach(row, settings, section);
    }
}

void add_stream_section(const ParcelRow& row, const Settings& settings, Document& document) {
    if (!row.reach_id && !row.subbasin_id) {
        return;
    }
    SectionWriter section(document, "stream", "The stream that its offer enters");
    add_reach(row, settings, section);
    if (row.low_flow_lps) {
        section.add(amount(' ', "added_gain_lps", "Added gain", value_of(row.added_gain_lps), "L/s", 4, "as above"));
        section.add(amount('/', "low_flow_lps", "Low flow of the reach", value_of(row.low_flow_lps), "L/s", 1,
                           from_field(settings, &ReachFacts::low_flow_lps)));
        section.add(
            amount('=', "low_flow_share", "Share of it", value_of(row.low_flow_share), "", 4,
                   row.low_flow_share ? "by this too the parcel is ranked" : "none of a flow that is not above 0"));
    }
}

}  // namespace eaveshed
