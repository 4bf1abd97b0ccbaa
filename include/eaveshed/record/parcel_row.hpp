// The rows of the layer `parcels`: one for every parcel of the input, in input order: its roofs, the storage that they
// fill together, and its place in the ranking. An empty member is a null column.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/record/field.hpp"

namespace eaveshed {

struct ParcelRow {
    std::string parcel_id;
    ParcelStatus parcel_status = ParcelStatus::no_roofs;
    ContactStatus contact_status = ContactStatus::candidate;
    Flags flags;
    std::optional<std::int64_t> owner_group;
    std::optional<double> inside_share;
    std::optional<std::int64_t> roof_count;
    std::optional<std::int64_t> ok_roof_count;
    std::optional<std::string> connected_roofs;
    std::optional<std::string> unconnected_roofs;
    std::optional<double> roofs_area_m2;
    std::optional<double> roofs_harvest_mean_m3;
    std::optional<double> plan_area_m2;
    std::optional<double> harvest_mean_m3;
    std::optional<double> harvest_dependable_m3;
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
    std::optional<double> forbearance_term_m3;
    std::optional<std::string> water_source;
    std::optional<double> source_share;
    std::optional<double> instream_gain_lps;
    std::optional<double> pump_lps;
    std::optional<double> season_reliability;
    std::optional<double> volume_reliability;
    std::optional<double> full_winters_share;
    std::optional<double> overflow_mean_m3;
    std::optional<Delivery> delivery;
    std::optional<GravityCheck> gravity_check;
    std::optional<double> gravity_probability;
    std::optional<double> pad_elev_m;
    std::optional<double> fill_margin_m;
    std::optional<double> pressure_kpa;
    std::optional<double> fill_distance_m;
    std::optional<double> pipe_m;
    std::optional<double> eave_sd_m;
    std::optional<double> pad_sd_m;
    std::optional<PadReason> no_pad_reason;
    std::optional<double> existing_storage_m3;
    std::optional<double> new_storage_m3;
    std::optional<double> top_up_m3;
    std::optional<double> road_distance_m;
    std::optional<double> road_climb_m;
    std::optional<double> canopy_share;
    std::optional<double> cost;
    std::optional<double> cost_per_m3;
    std::optional<double> score;
    std::optional<double> score_stream_gain;
    std::optional<double> score_low_flow_share;
    std::optional<double> score_gravity;
    std::optional<double> score_cost;
    std::optional<double> score_reliability;
    std::optional<std::int64_t> pareto_tier;
    std::optional<std::int64_t> rank;
    std::optional<double> rank_stability;
    std::optional<std::string> rank_scenario;
    std::optional<std::string> ask_first;
};

template <typename Row, typename Visitor>
requires std::is_same_v<std::remove_const_t<Row>, ParcelRow>
void visit_fields(Row& row, Visitor&& visit) {
    visit(Field{"parcel_id", "", "Parcel", "Identifier of the parcel: its id field, else the feature id."},
          row.parcel_id);
    visit(Field{"parcel_status", "", "Status", "ok, or why nothing was computed for the parcel."}, row.parcel_status);
    visit(
        Field{"contact_status", "", "Contact", "Whether the owner may be asked: from the status field of the parcels."},
        row.contact_status);
    visit(Field{"flags", "", "Flags", "How the numbers came about: those of its connected roofs and its own, sorted."},
          row.flags);
    visit(Field{"owner_group", "1", "Owner group",
                "Number of the owner, equal for parcels with equal owner_key; null without that field."},
          row.owner_group);
    visit(Field{"inside_share", "1", "Inside",
                "Share of the parcel's area that lies within the elevation raster's extent; below 1 it is cut by the "
                "basin's edge, and roofs and places beyond were not seen."},
          row.inside_share);
    visit(Field{"roof_count", "1", "Roofs", "Footprints of the input that belong to the parcel."}, row.roof_count);
    visit(Field{"ok_roof_count", "1", "Computed roofs", "Those of them with status ok."}, row.ok_roof_count);
    visit(Field{"connected_roofs", "", "Connected roofs",
                "Roofs that fill the parcel's storage, by identifier, in input order."},
          row.connected_roofs);
    visit(Field{"unconnected_roofs", "", "Unconnected roofs",
                "Computed roofs whose gutters do not reach the parcel's storage, by identifier."},
          row.unconnected_roofs);
    visit(Field{"roofs_area_m2", "m2", "Area of all roofs", "Plan area of the computed roofs together."},
          row.roofs_area_m2);
    visit(Field{"roofs_harvest_mean_m3", "m3", "Mean harvest of all roofs",
                "Winter harvest of the computed roofs together, mean over the tank years."},
          row.roofs_harvest_mean_m3);
    visit(Field{"plan_area_m2", "m2", "Connected area", "Plan area of the connected roofs together."},
          row.plan_area_m2);
    visit(Field{"harvest_mean_m3", "m3", "Mean harvest",
                "Winter harvest of the connected roofs, mean over the tank years."},
          row.harvest_mean_m3);
    visit(Field{"harvest_dependable_m3", "m3", "Dependable harvest",
                "Winter harvest of the connected roofs together, reached in the share of winters set as reliability."},
          row.harvest_dependable_m3);
    visit(
        Field{"demand_m3", "m3", "Season demand", "Summer take of the parcel that storage could replace, season mean."},
        row.demand_m3);
    visit(Field{"storage_m3", "m3", "Storage", "Nominal volume of the parcel's storage: tank volume times count."},
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
                "Summer take replaced each season: dependable, or mean where nothing is known of dry winters."},
          row.forbearance_m3);
    visit(Field{"forbearance_lps", "L/s", "Forbearance flow",
                "The forbearance volume as a mean flow over the forbearance months."},
          row.forbearance_lps);
    visit(Field{"forbearance_term_m3", "m3", "Forbearance over the term",
                "The forbearance volume times the years of the agreement."},
          row.forbearance_term_m3);
    visit(
        Field{"water_source", "", "Water source", "Where the summer water comes from, as the data or the default say."},
        row.water_source);
    visit(Field{"source_share", "1", "Source share", "Share of the take that the creek feels within the season."},
          row.source_share);
    visit(Field{"instream_gain_lps", "L/s", "Stream gain", "The forbearance flow times the source share."},
          row.instream_gain_lps);
    visit(Field{"pump_lps", "L/s", "Pump that stays off", "Flow of the diversion pump: a peak, never added up."},
          row.pump_lps);
    visit(Field{"season_reliability", "1", "Season reliability", "Share of seasons whose whole demand is met."},
          row.season_reliability);
    visit(Field{"volume_reliability", "1", "Volume reliability", "Volume replaced over volume wanted, all seasons."},
          row.volume_reliability);
    visit(Field{"full_winters_share", "1", "Full winters", "Share of tank years in which the storage fills."},
          row.full_winters_share);
    visit(Field{"overflow_mean_m3", "m3", "Overflow", "Water that overflows in a tank year, mean."},
          row.overflow_mean_m3);
    visit(Field{"delivery", "", "Delivery", "How the water gets into the tank and out to the garden."}, row.delivery);
    visit(Field{"gravity_check", "", "Gravity check",
                "Whether gravity alone surely fills and feeds, surely not, or the heights cannot tell."},
          row.gravity_check);
    visit(Field{"gravity_probability", "1", "Gravity probability",
                "Least probability that both fill and feed need no pump."},
          row.gravity_probability);
    visit(Field{"pad_elev_m", "m", "Pad elevation", "Elevation of the parcel's levelled pad."}, row.pad_elev_m);
    visit(Field{"fill_margin_m", "m", "Fill margin",
                "Height left between the gutter of the pad's roof and the tank's top after losses."},
          row.fill_margin_m);
    visit(Field{"pressure_kpa", "kPa", "Pressure", "Pressure at the use point with the store down to its reserve."},
          row.pressure_kpa);
    visit(Field{"fill_distance_m", "m", "Fill lines",
                "Horizontal distances from the connected roofs to the pad, added up."},
          row.fill_distance_m);
    visit(Field{"pipe_m", "m", "Feed pipe", "Length of the pipe from the pad to the use point."}, row.pipe_m);
    visit(Field{"eave_sd_m", "m", "Eave uncertainty",
                "Standard deviation of the eave's elevation at the pad's roof: its ground and its height."},
          row.eave_sd_m);
    visit(Field{"pad_sd_m", "m", "Pad uncertainty", "Standard deviation of the pad's elevation."}, row.pad_sd_m);
    visit(Field{"no_pad_reason", "", "No pad because",
                "Why none of its roofs has a pad: the reason of its first computed roof."},
          row.no_pad_reason);
    visit(Field{"existing_storage_m3", "m3", "Existing storage", "Storage already on the parcel, as the data say."},
          row.existing_storage_m3);
    visit(Field{"new_storage_m3", "m3", "New storage", "The part of the storage that is not there yet."},
          row.new_storage_m3);
    visit(Field{"top_up_m3", "m3", "Top-up",
                "Usable storage that the dependable harvest does not fill: only a winter diversion, a separate "
                "permission, could."},
          row.top_up_m3);
    visit(Field{"road_distance_m", "m", "Road distance",
                "Horizontal distance from the pad's centre to the nearest road; null beyond roads.max_distance_m."},
          row.road_distance_m);
    visit(Field{"road_climb_m", "m", "Road climb",
                "Pad above the ground at the road's nearest point; negative: the pad is lower."},
          row.road_climb_m);
    visit(Field{"canopy_share", "1", "Canopy",
                "Share of the ground within the pad's radius under canopy taller than notes.canopy_height_m."},
          row.canopy_share);
    visit(Field{"cost", "", "Cost",
                "Tanks, pad, pipes and pump in the project's currency; null where a price is missing."},
          row.cost);
    visit(Field{"cost_per_m3", "", "Cost per m3",
                "Cost over the forbearance volume of one season, in the currency per m3."},
          row.cost_per_m3);
    visit(Field{"score", "1", "Score",
                "Weighted sum of the components, 0 to 1; null for parcels that are no candidates."},
          row.score);
    visit(Field{"score_stream_gain", "1", "Score: stream gain", "Stream gain over its reference range, 0 to 1."},
          row.score_stream_gain);
    visit(Field{"score_low_flow_share", "1", "Score: low flow",
                "Share of the reach's low flow over its reference range, 0 to 1; null without a reach."},
          row.score_low_flow_share);
    visit(Field{"score_gravity", "1", "Score: gravity", "Gravity probability over its reference range, 0 to 1."},
          row.score_gravity);
    visit(Field{"score_cost", "1", "Score: cost",
                "1 without cost, 0 from the end of the reference range of cost per m3 on."},
          row.score_cost);
    visit(Field{"score_reliability", "1", "Score: reliability", "Season reliability over its reference range, 0 to 1."},
          row.score_reliability);
    visit(Field{"pareto_tier", "1", "Pareto tier",
                "1: no other candidate is as good in everything and better in something; 2: only those of tier 1 are; "
                "and so on."},
          row.pareto_tier);
    visit(Field{"rank", "1", "Rank", "Position by score, ties by parcel identifier."}, row.rank);
    visit(
        Field{"rank_stability", "1", "Rank stability", "Share of the draws in which the parcel stays among the first."},
        row.rank_stability);
    visit(Field{"rank_scenario", "", "Ranked by",
                "Scenario whose volumes, gain and cost the score counts: now, as in this row, or its name."},
          row.rank_scenario);
    visit(Field{"ask_first", "", "Ask first",
                "The questions whose answers could change the result most, and by how much."},
          row.ask_first);
}

}  // namespace eaveshed
