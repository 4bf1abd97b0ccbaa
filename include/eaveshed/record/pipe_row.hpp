// The rows of the layer `pipes`: from the roof to the tank and from the tank to where the water is used.
#pragma once

#include <optional>
#include <string>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/record/shared_columns.hpp"
#include "eaveshed/record/table.hpp"
#include "eaveshed/shape/segment.hpp"

namespace eaveshed {

struct PipeRow {
    static constexpr Table kTable{
        .name = "pipes",
        .title = "Pipes",
        .meaning = "What ties a pad to its roofs and its use point: straight lines, not a design of the pipe's course.",
        .shape = LayerShape::line_z,
        .filled_by = FilledBy::tile,
        .rows =
            "LineString Z from end to end, at the heights of its columns. For each roof's own pad a line that fills "
            "and "
            "one that feeds (`level` roof); for a parcel's pad a line from each connected roof and one to the use "
            "point "
            "(`level` parcel)."};

    Segment place;  // in the terrain's CRS, the way the water flows; the layer's geometry
    std::string roof_id;
    std::optional<std::string> parcel_id;
    std::optional<PadLevel> level;
    std::optional<PipeKind> kind;
    std::optional<double> length_m;
    std::optional<double> start_elev_m;
    std::optional<double> end_elev_m;
    std::optional<FillLine> fill_line;
    bool opted_out = false;
    bool coarse_elevation = false;

    static constexpr auto list_columns(auto&& use) {
        return use(
            column(&PipeRow::roof_id,
                   shared::kRoofId.as("Roof whose water it carries; of a parcel's feed pipe the pad's own roof.")),
            column(&PipeRow::parcel_id, shared::kParcelId),
            column(&PipeRow::level, shared::kLevel.as("Whose storage it serves: the roof's or the parcel's.")),
            column(&PipeRow::kind, {"kind", "", "Kind", "Whether it fills the tank or feeds the garden."}),
            column(&PipeRow::length_m,
                   {"length_m", "m", "Length",
                    "Length that is priced: of a fill pipe the horizontal distance from the roof, of a feed pipe the "
                    "sloping distance with the allowance for bends."}),
            column(&PipeRow::start_elev_m,
                   {"start_elev_m", "m", "Start elevation", "Elevation of the gutter, or of the tank's outlet."}),
            column(&PipeRow::end_elev_m,
                   {"end_elev_m", "m", "End elevation", "Elevation of the tank's top, or of the tap."}),
            column(&PipeRow::fill_line, shared::kFillLine), column(&PipeRow::opted_out, shared::kOptedOut),
            column(&PipeRow::coarse_elevation, shared::kCoarseElevation));
    }
};

}  // namespace eaveshed
