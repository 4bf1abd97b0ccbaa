// The rows of the table `overrides`: every row of the overrides table that the user gave, with what became of it.
// Names and notes of the user's table are never in it.
#pragma once

#include <optional>
#include <string>

#include "eaveshed/record/field.hpp"

namespace eaveshed {

struct OverrideRow {
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
};

template <typename Row, typename Visitor>
requires std::is_same_v<std::remove_const_t<Row>, OverrideRow>
void visit_fields(Row& row, Visitor&& visit) {
    visit(Field{"row_number", "", "Row", "Number of the row in the overrides table, from 1, titles not counted."},
          row.row_number);
    visit(Field{"roof_id", "", "Roof", "The roof that the row names; null in a row of a parcel."}, row.roof_id);
    visit(Field{"parcel_id", "", "Parcel", "The parcel that the row names; null in a row of a roof."}, row.parcel_id);
    visit(Field{"date", "", "Date", "When it was measured, as the table says."}, row.date);
    visit(Field{"outcome", "", "Outcome", "What became of the row: applied, carried, or why not."}, row.outcome);
    visit(Field{"applied_to", "", "Applied to", "The roof or parcel whose values the row's replaced; else null."},
          row.applied_to);
    visit(Field{"reason", "", "Reason", "Why the row was not applied, or where it was carried from."}, row.reason);
    visit(Field{"eave_height_m", "m", "Eave height", "Height of the gutter above the ground."}, row.eave_height_m);
    visit(Field{"eave_elev_m", "m", "Eave elevation", "Elevation of the gutter; it wins over eave_height_m."},
          row.eave_elev_m);
    visit(Field{"connected_share", "1", "Connected share", "Share of the roof that drains to collected downspouts."},
          row.connected_share);
    visit(Field{"material", "", "Material", "Material of the roof."}, row.material);
    visit(Field{"runoff_coefficient", "1", "Runoff coefficient",
                "Share of the rain that leaves the roof's surface; it wins over the material."},
          row.runoff_coefficient);
    visit(Field{"pad_x", "", "Pad, x", "Where the tank can stand, in the table's coordinate reference system."},
          row.pad_x);
    visit(Field{"pad_y", "", "Pad, y", "Where the tank can stand, in the table's coordinate reference system."},
          row.pad_y);
    visit(Field{"people", "1", "People", "People who live on the parcel."}, row.people);
    visit(Field{"irrigated_area_m2", "m2", "Irrigated area", "Garden that is watered."}, row.irrigated_area_m2);
    visit(Field{"season_use_m3", "m3", "Season use", "Metered take of the forbearance months."}, row.season_use_m3);
    visit(Field{"water_source", "", "Water source", "Where the parcel's summer water comes from."}, row.water_source);
    visit(Field{"source_share", "1", "Source share", "Share of the take that the creek feels within the season."},
          row.source_share);
    visit(Field{"stream_distance_m", "m", "Stream distance", "Distance from the well to the nearest stream."},
          row.stream_distance_m);
    visit(Field{"existing_storage_m3", "m3", "Existing storage", "Storage that stands on the parcel already."},
          row.existing_storage_m3);
    visit(Field{"pump_lps", "L/s", "Pump", "Peak flow of the pump that would stay off."}, row.pump_lps);
    visit(Field{"contact_status", "", "Contact status", "State of talks, as the table says (its column `status`)."},
          row.contact_status);
    visit(Field{"use_x", "", "Use point, x", "Where the water is wanted, in the table's coordinate reference system."},
          row.use_x);
    visit(Field{"use_y", "", "Use point, y", "Where the water is wanted, in the table's coordinate reference system."},
          row.use_y);
    visit(Field{"unused", "", "Unused", "Values of the row that could not be used, as they were found."}, row.unused);
}

}  // namespace eaveshed
