// The rows of the layer `roofs`: one for every footprint of the input, in input order. An empty member is a null
// column.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/record/field.hpp"

namespace eaveshed {

struct RoofRow {
    std::string roof_id;
    std::optional<std::string> parcel_id;
    Status status = Status::ok;
    Flags flags;
    std::optional<double> plan_area_m2;
    std::optional<double> runoff_coefficient;
    std::optional<double> connected_share;
    std::optional<double> ground_elev_m;
    std::optional<double> eave_elev_m;
    std::optional<double> fill_rain_mm;
    std::optional<double> harvest_mean_m3;
    std::optional<double> harvest_median_m3;
    std::optional<double> harvest_dependable_m3;
    std::optional<double> first_flush_m3;
    std::optional<double> demand_m3;
    std::optional<double> storage_m3;
    std::optional<double> usable_m3;
    std::optional<std::int64_t> tank_count;
    std::optional<LimitedBy> limited_by;
    std::optional<double> replaced_mean_m3;
    std::optional<double> replaced_dependable_m3;
    std::optional<double> replaced_worst_m3;
    std::optional<double> forbearance_m3;
    std::optional<double> forbearance_lps;
    std::optional<double> instream_gain_lps;
    std::optional<double> season_reliability;
    std::optional<double> volume_reliability;
    std::optional<double> full_winters_share;
    std::optional<double> overflow_mean_m3;
    std::optional<Delivery> delivery;
    std::optional<GravityCheck> gravity_check;
    std::optional<double> gravity_probability;
    std::optional<double> window_low_elev_m;
    std::optional<double> window_high_elev_m;
    std::optional<double> pad_elev_m;
    std::optional<double> pressure_kpa;
    std::optional<double> fill_distance_m;
    std::optional<PadReason> no_pad_reason;
};

// Calls visitor(Field, member) for every column in order. Row is RoofRow or const RoofRow.
template <typename Row, typename Visitor>
requires std::is_same_v<std::remove_const_t<Row>, RoofRow>
void visit_fields(Row& row, Visitor&& visit) {
    visit(Field{"roof_id", "", "Roof", "Identifier of the footprint: its id field, else the feature id."}, row.roof_id);
    visit(Field{"parcel_id", "", "Parcel", "Parcel of the roof; null when it lies in none."}, row.parcel_id);
    visit(Field{"status", "", "Status", "ok, or why the roof was not computed."}, row.status);
    visit(Field{"flags", "", "Flags", "How the numbers came about: assumptions, gaps and warnings, sorted."},
          row.flags);
    visit(Field{"plan_area_m2", "m2", "Plan area", "Horizontal area of the roof on the ellipsoid."}, row.plan_area_m2);
    visit(Field{"runoff_coefficient", "1", "Runoff coefficient", "Share of the rain that leaves the roof's surface."},
          row.runoff_coefficient);
    visit(Field{"connected_share", "1", "Connected share", "Share of the roof that drains to collected downspouts."},
          row.connected_share);
    visit(Field{"ground_elev_m", "m", "Ground elevation", "Median elevation of the ground along the footprint's edge."},
          row.ground_elev_m);
    visit(Field{"eave_elev_m", "m", "Eave elevation", "Elevation of the gutter."}, row.eave_elev_m);
    visit(Field{"fill_rain_mm", "mm", "Fill rain", "Rain of the fill months, mean over the tank years."},
          row.fill_rain_mm);
    visit(Field{"harvest_mean_m3", "m3", "Mean harvest", "Winter harvest, mean over the tank years."},
          row.harvest_mean_m3);
    visit(Field{"harvest_median_m3", "m3", "Median harvest", "Winter harvest reached in every second winter."},
          row.harvest_median_m3);
    visit(Field{"harvest_dependable_m3", "m3", "Dependable harvest",
                "Winter harvest reached in the share of winters set as reliability."},
          row.harvest_dependable_m3);
    visit(Field{"first_flush_m3", "m3", "First flush", "Runoff diverted in the fill months, mean over the tank years."},
          row.first_flush_m3);
    visit(
        Field{"demand_m3", "m3", "Season demand",
              "Summer take of the whole parcel that storage could replace, season mean: not to be summed over roofs."},
        row.demand_m3);
    visit(Field{"storage_m3", "m3", "Storage", "Nominal volume of the storage: tank volume times count."},
          row.storage_m3);
    visit(Field{"usable_m3", "m3", "Usable storage", "Volume above the outlets."}, row.usable_m3);
    visit(Field{"tank_count", "1", "Tanks", "Number of equal tanks of the storage."}, row.tank_count);
    visit(Field{"limited_by", "", "Limited by", "What keeps the storage from replacing more: demand, tank or roof."},
          row.limited_by);
    visit(Field{"replaced_mean_m3", "m3", "Replaced, mean",
                "Diversion replaced in the season, mean over the tank years."},
          row.replaced_mean_m3);
    visit(Field{"replaced_dependable_m3", "m3", "Replaced, dependable",
                "Diversion replaced in the share of seasons set as reliability; low where dry winters fill little or "
                "wet summers ask for little."},
          row.replaced_dependable_m3);
    visit(Field{"replaced_worst_m3", "m3", "Replaced, worst",
                "Least diversion replaced in a season of the record: a dry winter, or a summer that asks for little."},
          row.replaced_worst_m3);
    visit(Field{"forbearance_m3", "m3", "Forbearance volume",
                "Summer take replaced each season, dependably: water left where it is taken from, also where that is "
                "the mains."},
          row.forbearance_m3);
    visit(Field{"forbearance_lps", "L/s", "Forbearance flow", "Forbearance volume as a mean flow over the season."},
          row.forbearance_lps);
    visit(Field{"instream_gain_lps", "L/s", "Stream gain", "Forbearance flow times the share that the creek feels."},
          row.instream_gain_lps);
    visit(Field{"season_reliability", "1", "Season reliability", "Share of seasons whose whole demand is met."},
          row.season_reliability);
    visit(Field{"volume_reliability", "1", "Volume reliability", "Volume replaced over volume wanted, all seasons."},
          row.volume_reliability);
    visit(Field{"full_winters_share", "1", "Full winters", "Share of tank years in which the storage fills."},
          row.full_winters_share);
    visit(Field{"overflow_mean_m3", "m3", "Overflow", "Water that overflows in a tank year, mean."},
          row.overflow_mean_m3);
    visit(Field{"delivery", "", "Delivery", "How the water gets in and out: by gravity or by pump."}, row.delivery);
    visit(
        Field{"gravity_check", "", "Gravity check", "Whether gravity fill and feed are certain: yes, no, cannot_tell."},
        row.gravity_check);
    visit(Field{"gravity_probability", "1", "Gravity probability",
                "Least probability that both fill and feed need no pump."},
          row.gravity_probability);
    visit(Field{"window_low_elev_m", "m", "Window, low",
                "Lowest pad elevation that feeds the use point without a pump, pipe friction left out."},
          row.window_low_elev_m);
    visit(Field{"window_high_elev_m", "m", "Window, high",
                "Highest pad elevation that the gutter still fills, the line's fall left out; below the low end no "
                "place does without a pump."},
          row.window_high_elev_m);
    visit(Field{"pad_elev_m", "m", "Pad elevation", "Elevation of the levelled pad."}, row.pad_elev_m);
    visit(Field{"pressure_kpa", "kPa", "Pressure", "Pressure at the use point with the store down to its reserve."},
          row.pressure_kpa);
    visit(Field{"fill_distance_m", "m", "Fill distance", "Horizontal distance from the roof to the pad."},
          row.fill_distance_m);
    visit(Field{"no_pad_reason", "", "No pad because", "The rule that left no place for a pad."}, row.no_pad_reason);
}

}  // namespace eaveshed
