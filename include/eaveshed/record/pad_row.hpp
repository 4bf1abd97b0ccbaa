// The rows of the layer `pads`: where the storage of a roof, or of a parcel, can stand, and what that gives.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/record/shared_columns.hpp"
#include "eaveshed/record/table.hpp"

namespace eaveshed {

struct PadRow {
    static constexpr Table kTable{
        .name = "pads",
        .title = "Pads",
        .meaning = "Where the storage of each roof can stand: height, pressure, distances and how sure gravity is.",
        .shape = LayerShape::point_z,
        .filled_by = FilledBy::tile,
        .rows =
            "Point Z at the elevation of the levelled pad; one row for each pad that exists. The point is the centre "
            "of the cell: the tank, the cluster or the middle of the row.",
        .notes =
            "Road columns are null without `[roads]`; the climb also "
            "where the elevations have nothing at the road. Of roads given as areas the edges count. `canopy_share` is "
            "null without `[canopy]` and where the canopy raster has no value; cells whose centres lie within "
            "`pad_radius_m` count, or the one cell under the pad where it has none. These columns are reported and "
            "change no choice."};

    Point place;  // in the terrain's CRS; the layer's geometry, with the pad's elevation as Z
    std::string roof_id;
    std::optional<std::string> parcel_id;
    std::optional<PadLevel> level;
    std::optional<double> pad_elev_m;
    std::optional<double> ground_elev_m;
    std::optional<double> slope_pct;
    std::optional<double> cut_m;
    std::optional<FillClass> fill;
    std::optional<FeedClass> feed;
    std::optional<Delivery> delivery;
    std::optional<GravityCheck> gravity_check;
    std::optional<double> fill_margin_m;
    std::optional<double> static_head_m;
    std::optional<double> friction_m;
    std::optional<double> pressure_kpa;
    std::optional<double> pressure_full_kpa;
    std::optional<double> fill_distance_m;
    std::optional<double> pipe_m;
    std::optional<double> use_elev_m;
    std::optional<double> fill_probability;
    std::optional<double> feed_probability;
    std::optional<double> gravity_probability;
    std::optional<double> gravity_volume_share;
    std::optional<double> reach_10_m2;
    std::optional<double> reach_35_m2;
    std::optional<double> reach_70_m2;
    std::optional<double> garden_m2;
    std::optional<double> storage_m3;
    std::optional<std::int64_t> tank_count;
    std::optional<Arrangement> arrangement;
    std::optional<double> row_length_m;
    std::optional<double> row_bearing_deg;
    std::optional<double> pad_radius_m;
    std::optional<FillLine> fill_line;
    std::optional<PadReason> waived_rule;
    std::optional<double> road_distance_m;
    std::optional<double> road_climb_m;
    std::optional<double> canopy_share;
    std::optional<double> feed_pump_head_m;
    std::optional<double> feed_pump_kwh;
    std::optional<double> fill_pump_lps;
    std::optional<double> fill_pump_head_m;
    std::optional<double> fill_pump_kwh;
    std::optional<double> full_mass_t;
    std::optional<double> bearing_kpa;
    std::optional<double> overflow_peak_lps;
    bool opted_out = false;
    bool coarse_elevation = false;

    static constexpr auto list_columns(auto&& use) {
        return use(
            column(&PadRow::roof_id, shared::kRoofId), column(&PadRow::parcel_id, shared::kParcelId),
            column(&PadRow::level, shared::kLevel), column(&PadRow::pad_elev_m, shared::kPadElev),
            column(&PadRow::ground_elev_m, shared::kGroundElev.as("Elevation of the pad's cell, uncut.")),
            column(&PadRow::slope_pct, {"slope_pct", "%", "Slope", "Steepness of the ground over the slope window."}),
            column(&PadRow::cut_m, {"cut_m", "m", "Cut", "Depth of the cut at its highest: all tanks stand level."}),
            column(&PadRow::fill,
                   {"fill", "", "Fill", "Whether the gutter is high enough: sure, likely or lifted by a pump."}),
            column(&PadRow::feed,
                   {"feed", "", "Feed", "What presses the water out: gravity, gravity at low pressure, or a pump."}),
            column(&PadRow::delivery, shared::kDelivery), column(&PadRow::gravity_check, shared::kGravityCheck),
            column(&PadRow::fill_margin_m, shared::kFillMargin),
            column(&PadRow::static_head_m,
                   {"static_head_m", "m", "Static head", "Height of the water at its reserve level above the tap."}),
            column(&PadRow::friction_m,
                   {"friction_m", "m", "Friction", "Head lost in the feed pipe at the design flow."}),
            column(&PadRow::pressure_kpa, shared::kPressure),
            column(&PadRow::pressure_full_kpa,
                   {"pressure_full_kpa", "kPa", "Pressure, full", "Pressure at the use point with full tanks."}),
            column(&PadRow::fill_distance_m, shared::kFillDistance), column(&PadRow::pipe_m, shared::kPipe),
            column(&PadRow::use_elev_m, shared::kUseElev),
            column(&PadRow::fill_probability,
                   {"fill_probability", "1", "Fill probability", "Probability that the gutter is high enough."}),
            column(&PadRow::feed_probability,
                   {"feed_probability", "1", "Feed probability", "Probability that the pressure reaches the minimum."}),
            column(&PadRow::gravity_probability, shared::kGravityProbability),
            column(&PadRow::gravity_volume_share,
                   {"gravity_volume_share", "1", "Gravity volume share",
                    "Part of the water that reaches the minimum pressure without a pump."}),
            column(&PadRow::reach_10_m2,
                   {"reach_10_m2", "m2", "Reach, 10 kPa", "Garden served at 10 kPa before friction."}),
            column(&PadRow::reach_35_m2,
                   {"reach_35_m2", "m2", "Reach, 35 kPa", "Garden served at 35 kPa before friction."}),
            column(&PadRow::reach_70_m2,
                   {"reach_70_m2", "m2", "Reach, 70 kPa", "Garden served at 70 kPa before friction."}),
            column(&PadRow::garden_m2, {"garden_m2", "m2", "Garden", "Area of all garden cells of the roof."}),
            column(&PadRow::storage_m3, shared::kStorage), column(&PadRow::tank_count, shared::kTankCount),
            column(&PadRow::arrangement, shared::kArrangement),
            column(&PadRow::row_length_m, {"row_length_m", "m", "Row length",
                                           "Length of a row of tanks along the contour, from rim to rim; null unless "
                                           "the tanks stand in a row."}),
            column(&PadRow::row_bearing_deg, {"row_bearing_deg", "deg", "Row bearing",
                                              "Direction of the row, clockwise from the north of the elevations' CRS, "
                                              "0 to below 180; null unless the "
                                              "tanks stand in a row."}),
            column(&PadRow::pad_radius_m, shared::kPadRadius), column(&PadRow::fill_line, shared::kFillLine),
            column(&PadRow::waived_rule,
                   {"waived_rule", "", "Waived rule",
                    "First siting rule that a measured pad fails: it stands all the same. Null for any other pad."}),
            column(&PadRow::road_distance_m, shared::kRoadDistance), column(&PadRow::road_climb_m, shared::kRoadClimb),
            column(&PadRow::canopy_share, shared::kCanopyShare),
            column(&PadRow::feed_pump_head_m,
                   {"feed_pump_head_m", "m", "Feed pump head",
                    "Head that a pump has to give at the design flow for the required pressure, the store at its "
                    "reserve; null where gravity feeds."}),
            column(&PadRow::feed_pump_kwh, {"feed_pump_kwh", "kW.h", "Feed pump energy",
                                            "Energy that the feed pump takes for the forbearance volume of a season."}),
            column(&PadRow::fill_pump_lps,
                   {"fill_pump_lps", "L/s", "Fill pump flow",
                    "What a storm brings through the connected downspouts, to be lifted as it comes; less with a sump. "
                    "Null where gravity fills."}),
            column(&PadRow::fill_pump_head_m,
                   {"fill_pump_head_m", "m", "Fill pump head", "Height that the gutter lacks: minus the fill margin."}),
            column(&PadRow::fill_pump_kwh,
                   {"fill_pump_kwh", "kW.h", "Fill pump energy",
                    "Energy that the fill pump takes for the mean winter harvest less the mean overflow."}),
            column(&PadRow::full_mass_t,
                   {"full_mass_t", "t", "Full mass", "Mass of the water of the full store, all tanks."}),
            column(&PadRow::bearing_kpa,
                   {"bearing_kpa", "kPa", "Bearing pressure", "Pressure of that mass on the bases of the tanks."}),
            column(
                &PadRow::overflow_peak_lps,
                {"overflow_peak_lps", "L/s", "Overflow peak",
                 "Runoff of the roofs that fill the storage in the storm notes.storm_mm_h, which a full store has to "
                 "let go."}),
            column(&PadRow::opted_out, shared::kOptedOut), column(&PadRow::coarse_elevation, shared::kCoarseElevation));
    }
};

}  // namespace eaveshed
