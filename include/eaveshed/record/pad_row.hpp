// The rows of the layer `pads`: where the storage of a roof, or of a parcel, can stand, and what that gives.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/record/field.hpp"

namespace eaveshed {

struct PadRow {
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
    std::optional<double> pad_radius_m;
    std::optional<FillLine> fill_line;
    std::optional<PadReason> waived_rule;
    std::optional<double> road_distance_m;
    std::optional<double> road_climb_m;
    std::optional<double> canopy_share;
};

template <typename Row, typename Visitor>
requires std::is_same_v<std::remove_const_t<Row>, PadRow>
void visit_fields(Row& row, Visitor&& visit) {
    visit(Field{"roof_id", "", "Roof", "Identifier of the footprint."}, row.roof_id);
    visit(Field{"parcel_id", "", "Parcel", "Parcel of the roof; null when it lies in none."}, row.parcel_id);
    visit(Field{"level", "", "Level", "Whose storage stands here: the roof's or the parcel's."}, row.level);
    visit(Field{"pad_elev_m", "m", "Pad elevation", "Elevation of the levelled pad."}, row.pad_elev_m);
    visit(Field{"ground_elev_m", "m", "Ground elevation", "Elevation of the pad's cell, uncut."}, row.ground_elev_m);
    visit(Field{"slope_pct", "%", "Slope", "Steepness of the ground over the slope window."}, row.slope_pct);
    visit(Field{"cut_m", "m", "Cut", "Depth of the cut that levels the ground of one tank."}, row.cut_m);
    visit(Field{"fill", "", "Fill", "Whether the gutter is high enough: sure, likely or lifted by a pump."}, row.fill);
    visit(Field{"feed", "", "Feed", "What presses the water out: gravity, gravity at low pressure, or a pump."},
          row.feed);
    visit(Field{"delivery", "", "Delivery", "How the water gets in and out: by gravity or by pump."}, row.delivery);
    visit(
        Field{"gravity_check", "", "Gravity check", "Whether gravity fill and feed are certain: yes, no, cannot_tell."},
        row.gravity_check);
    visit(Field{"fill_margin_m", "m", "Fill margin",
                "Height left over between gutter and tank top after the losses; negative: to be lifted."},
          row.fill_margin_m);
    visit(Field{"static_head_m", "m", "Static head", "Height of the water at its reserve level above the tap."},
          row.static_head_m);
    visit(Field{"friction_m", "m", "Friction", "Head lost in the feed pipe at the design flow."}, row.friction_m);
    visit(Field{"pressure_kpa", "kPa", "Pressure", "Pressure at the use point with the store down to its reserve."},
          row.pressure_kpa);
    visit(Field{"pressure_full_kpa", "kPa", "Pressure, full", "Pressure at the use point with full tanks."},
          row.pressure_full_kpa);
    visit(Field{"fill_distance_m", "m", "Fill distance", "Horizontal distance from the roof to the pad."},
          row.fill_distance_m);
    visit(Field{"pipe_m", "m", "Feed pipe", "Length of the pipe from the pad to the use point."}, row.pipe_m);
    visit(Field{"use_elev_m", "m", "Use elevation", "Elevation of the ground at the use point."}, row.use_elev_m);
    visit(Field{"fill_probability", "1", "Fill probability", "Probability that the gutter is high enough."},
          row.fill_probability);
    visit(Field{"feed_probability", "1", "Feed probability", "Probability that the pressure reaches the minimum."},
          row.feed_probability);
    visit(Field{"gravity_probability", "1", "Gravity probability",
                "Least probability that both fill and feed need no pump."},
          row.gravity_probability);
    visit(Field{"gravity_volume_share", "1", "Gravity volume share",
                "Part of the water that reaches the minimum pressure without a pump."},
          row.gravity_volume_share);
    visit(Field{"reach_10_m2", "m2", "Reach, 10 kPa", "Garden served at 10 kPa before friction."}, row.reach_10_m2);
    visit(Field{"reach_35_m2", "m2", "Reach, 35 kPa", "Garden served at 35 kPa before friction."}, row.reach_35_m2);
    visit(Field{"reach_70_m2", "m2", "Reach, 70 kPa", "Garden served at 70 kPa before friction."}, row.reach_70_m2);
    visit(Field{"garden_m2", "m2", "Garden", "Area of all garden cells of the roof."}, row.garden_m2);
    visit(Field{"storage_m3", "m3", "Storage", "Nominal volume of the storage: tank volume times count."},
          row.storage_m3);
    visit(Field{"tank_count", "1", "Tanks", "Number of equal tanks of the storage."}, row.tank_count);
    visit(
        Field{"pad_radius_m", "m", "Pad radius",
              "Clearance that the tanks need, margin included; the length of a row along the contour is not checked."},
        row.pad_radius_m);
    visit(Field{"fill_line", "", "Fill line", "How the line from gutter to tank lies: dry or wet."}, row.fill_line);
    visit(Field{"waived_rule", "", "Waived rule",
                "First siting rule that a measured pad fails: it stands all the same. Null for any other pad."},
          row.waived_rule);
    visit(Field{"road_distance_m", "m", "Road distance",
                "Horizontal distance from the pad's centre to the nearest road; null beyond roads.max_distance_m."},
          row.road_distance_m);
    visit(Field{"road_climb_m", "m", "Road climb",
                "Pad above the ground at the road's nearest point; negative: the pad is lower."},
          row.road_climb_m);
    visit(Field{"canopy_share", "1", "Canopy",
                "Share of the ground within the pad's radius under canopy taller than notes.canopy_height_m."},
          row.canopy_share);
}

}  // namespace eaveshed
