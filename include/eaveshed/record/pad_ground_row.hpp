// The rows of the layer `pad_ground`: the level ground under each pad's tanks, to scale.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/record/shared_columns.hpp"
#include "eaveshed/record/table.hpp"

namespace eaveshed {

struct PadGroundRow {
    static constexpr Table kTable{
        .name = "pad_ground",
        .title = "Pad ground",
        .meaning = "The level ground that the tanks of each pad take, margin included, to scale.",
        .shape = LayerShape::multipolygon,
        .filled_by = FilledBy::gather,
        .rows =
            "MultiPolygon; one row for each row of `pads`, in their order: the circle of a single tank or of a "
            "cluster, "
            "or the circles of a row's tanks, which run into each other by their margins."};

    std::string roof_id;
    std::optional<std::string> parcel_id;
    std::optional<PadLevel> level;
    std::optional<Arrangement> arrangement;
    std::optional<std::int64_t> tank_count;
    std::optional<double> pad_elev_m;
    std::optional<double> pad_radius_m;
    bool opted_out = false;
    bool coarse_elevation = false;

    static constexpr auto list_columns(auto&& use) {
        return use(
            column(&PadGroundRow::roof_id, shared::kRoofId), column(&PadGroundRow::parcel_id, shared::kParcelId),
            column(&PadGroundRow::level, shared::kLevel), column(&PadGroundRow::arrangement, shared::kArrangement),
            column(&PadGroundRow::tank_count, shared::kTankCount), column(&PadGroundRow::pad_elev_m, shared::kPadElev),
            column(&PadGroundRow::pad_radius_m, shared::kPadRadius),
            column(&PadGroundRow::opted_out, shared::kOptedOut),
            column(&PadGroundRow::coarse_elevation, shared::kCoarseElevation));
    }
};

}  // namespace eaveshed
