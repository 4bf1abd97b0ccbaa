// The rows of the table `overrides`: every row of the overrides table that the user gave, with what became of it.
// Names and notes of the user's table are never in it.
#pragma once

#include <optional>
#include <string>

#include "eaveshed/record/table.hpp"

namespace eaveshed {

struct OverrideRow {
    static constexpr Table kTable{
        .name = "overrides",
        .title = "Measured values",
        .meaning = "Every row of the overrides table and what became of it.",
        .shape = LayerShape::none,
        .filled_by = FilledBy::overrides,
        .rows =
            "No geometry; empty without `[overrides]`. Every row of the table of measured values, in its order, with "
            "the values that could be used and what became of it. Rows that were not applied are here whole, so "
            "nothing entered by hand is lost. Who measured, and notes, are never read. The rows of `roofs` and "
            "`parcels` that took a value have the flag `measured`."};

    std::optional<std::int64_t> row_number;
    std::optional<std::string> roof_id;
    std::optional<std::string> parcel_id;
    std::optional<std::string> date;
    std::optional<OverrideOutcome> outcome;
    std::optional<std::string> applied_to;
    std::optional<std::string> reason;
    std::optional<double> eave_height_m;
    std::optional<double> eave_elev_m;
    std::optional<double> connected_share;
    std::optional<std::string> material;
    std::optional<double> runoff_coefficient;
    std::optional<double> pad_x;
    std::optional<double> pad_y;
    std::optional<double> people;
    std::optional<double> irrigated_area_m2;
    std::optional<double> season_use_m3;
    std::optional<std::string> water_source;
    std::optional<double> source_share;
    std::optional<double> stream_distance_m;
    std::optional<double> existing_storage_m3;
    std::optional<double> pump_lps;
    std::optional<std::string> contact_status;
    std::optional<double> use_x;
    std::optional<double> use_y;
    std::optional<std::string> unused;

    static constexpr auto list_columns(auto&& use) {
        return use(
            column(&OverrideRow::row_number,
                   {"row_number", "", "Row", "Number of the row in the overrides table, from 1, titles not counted."}),
            column(&OverrideRow::roof_id,
                   {"roof_id", "", "Roof", "The roof that the row names; null in a row of a parcel."}),
            column(&OverrideRow::parcel_id,
                   {"parcel_id", "", "Parcel", "The parcel that the row names; null in a row of a roof."}),
            column(&OverrideRow::date, {"date", "", "Date", "When it was measured, as the table says."}),
            column(&OverrideRow::outcome,
                   {"outcome", "", "Outcome", "What became of the row: applied, carried, or why not."}),
            column(&OverrideRow::applied_to,
                   {"applied_to", "", "Applied to", "The roof or parcel whose values the row's replaced; else null."}),
            column(&OverrideRow::reason,
                   {"reason", "", "Reason", "Why the row was not applied, or where it was carried from."}),
            column(&OverrideRow::eave_height_m,
                   {"eave_height_m", "m", "Eave height", "Height of the gutter above the ground."}),
            column(&OverrideRow::eave_elev_m,
                   {"eave_elev_m", "m", "Eave elevation", "Elevation of the gutter; it wins over eave_height_m."}),
            column(&OverrideRow::connected_share, {"connected_share", "1", "Connected share",
                                                   "Share of the roof that drains to collected downspouts."}),
            column(&OverrideRow::material, {"material", "", "Material", "Material of the roof."}),
            column(&OverrideRow::runoff_coefficient,
                   {"runoff_coefficient", "1", "Runoff coefficient",
                    "Share of the rain that leaves the roof's surface; it wins over the material."}),
            column(&OverrideRow::pad_x,
                   {"pad_x", "", "Pad, x", "Where the tank can stand, in the table's coordinate reference system."}),
            column(&OverrideRow::pad_y,
                   {"pad_y", "", "Pad, y", "Where the tank can stand, in the table's coordinate reference system."}),
            column(&OverrideRow::people, {"people", "1", "People", "People who live on the parcel."}),
            column(&OverrideRow::irrigated_area_m2,
                   {"irrigated_area_m2", "m2", "Irrigated area", "Garden that is watered."}),
            column(&OverrideRow::season_use_m3,
                   {"season_use_m3", "m3", "Season use", "Metered take of the forbearance months."}),
            column(&OverrideRow::water_source,
                   {"water_source", "", "Water source", "Where the parcel's summer water comes from."}),
            column(&OverrideRow::source_share,
                   {"source_share", "1", "Source share", "Share of the take that the creek feels within the season."}),
            column(&OverrideRow::stream_distance_m,
                   {"stream_distance_m", "m", "Stream distance", "Distance from the well to the nearest stream."}),
            column(&OverrideRow::existing_storage_m3,
                   {"existing_storage_m3", "m3", "Existing storage", "Storage that stands on the parcel already."}),
            column(&OverrideRow::pump_lps, {"pump_lps", "L/s", "Pump", "Peak flow of the pump that would stay off."}),
            column(&OverrideRow::contact_status,
                   {"contact_status", "", "Contact status", "State of talks, as the table says (its column `status`).",
                    FilledBy::overrides, closed_list<ContactStatus>().name}),
            column(&OverrideRow::use_x, {"use_x", "", "Use point, x",
                                         "Where the water is wanted, in the table's coordinate reference system."}),
            column(&OverrideRow::use_y, {"use_y", "", "Use point, y",
                                         "Where the water is wanted, in the table's coordinate reference system."}),
            column(&OverrideRow::unused,
                   {"unused", "", "Unused", "Values of the row that could not be used, as they were found."}));
    }
};

}  // namespace eaveshed
