// The rows of the layer `use_points`: where each computed roof's water is wanted.
#pragma once

#include <optional>
#include <string>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/record/shared_columns.hpp"
#include "eaveshed/record/table.hpp"

namespace eaveshed {

struct UsePointRow {
    static constexpr Table kTable{
        .name = "use_points",
        .title = "Use points",
        .meaning = "Where each roof's water is wanted: given, or a garden cell that stands in for it.",
        .shape = LayerShape::point_z,
        .filled_by = FilledBy::tile,
        .rows = "Point Z at the elevation of the ground; one row for each computed roof that has a use point."};

    Point place;  // in the terrain's CRS; the layer's geometry
    std::string roof_id;
    std::optional<std::string> parcel_id;
    std::optional<double> use_elev_m;
    bool assumed = false;
    bool opted_out = false;

    static constexpr auto list_columns(auto&& use) {
        return use(
            column(&UsePointRow::roof_id, shared::kRoofId), column(&UsePointRow::parcel_id, shared::kParcelId),
            column(&UsePointRow::use_elev_m, shared::kUseElev),
            column(&UsePointRow::assumed,
                   {"assumed", "", "Assumed", "True when no use point was given and a garden cell stands in for it."}),
            column(&UsePointRow::opted_out, shared::kOptedOut));
    }
};

}  // namespace eaveshed
