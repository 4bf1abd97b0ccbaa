// The rows of the layer `parcels`: one for every parcel of the input, in input order: its roofs, the storage that they
// fill together, and its place in the ranking. An empty member is a null column.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <tuple>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/record/shared_columns.hpp"
#include "eaveshed/record/table.hpp"

namespace eaveshed {

struct ParcelRow {
    static constexpr Table kTable{
        .name = "parcels",
        .title = "Parcels",
        .meaning = "Every parcel of the input: the storage that its roofs fill together, and its place in the ranking.",
        .shape = LayerShape::multipolygon,
        .filled_by = FilledBy::tile,
        .rows =
            "MultiPolygon: the parcel as given. One row for every parcel of the input, in its order; without a parcels "
            "layer it is empty."};

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
    std::optional<double> added_forbearance_m3;
    std::optional<std::string> water_source;
    std::optional<double> source_share;
    std::optional<double> instream_gain_lps;
    std::optional<double> added_gain_lps;
    std::optional<double> pump_lps;
    std::optional<std::string> reach_id;
    std::optional<EntryWay> reach_entry;
    std::optional<double> reach_distance_m;
    std::optional<double> low_flow_lps;
    std::optional<double> low_flow_share;
    std::optional<std::string> subbasin_id;
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

    static constexpr auto identity_columns() {
        return std::tuple(
            column(&ParcelRow::parcel_id,
                   shared::kParcelId.as("Identifier of the parcel: its id field, else the feature id.")),
            column(&ParcelRow::parcel_status,
                   {"parcel_status", "", "Status", "ok, or why nothing was computed for the parcel."}),
            column(
                &ParcelRow::contact_status,
                {"contact_status", "", "Contact",
                 "How far talks with the owner are: from the call list read back, the measured values or the parcels' "
                 "status field.",
                 FilledBy::plan}),
            column(&ParcelRow::flags,
                   shared::kFlags.as("How the numbers came about: those of its connected roofs and its own, sorted.")),
            column(&ParcelRow::owner_group,
                   {"owner_group", "1", "Owner group",
                    "Number of the owner, equal for parcels with equal owner_key; null without that field.",
                    FilledBy::plan}),
            column(&ParcelRow::inside_share,
                   {"inside_share", "1", "Inside",
                    "Share of the parcel's area that lies within the elevation raster's extent; below 1 it is cut by "
                    "the basin's edge, and roofs and places beyond were not seen.",
                    FilledBy::plan}));
    }
    static constexpr auto roofs_columns() {
        return std::tuple(
            column(&ParcelRow::roof_count, {"roof_count", "1", "Roofs",
                                            "Footprints of the input that belong to the parcel.", FilledBy::gather}),
            column(&ParcelRow::ok_roof_count,
                   {"ok_roof_count", "1", "Computed roofs", "Those of them with status ok.", FilledBy::gather}),
            column(&ParcelRow::connected_roofs,
                   {"connected_roofs", "", "Connected roofs",
                    "Roofs that fill the parcel's storage, by identifier, in input order.", FilledBy::gather}),
            column(
                &ParcelRow::unconnected_roofs,
                {"unconnected_roofs", "", "Unconnected roofs",
                 "Computed roofs whose gutters do not reach the parcel's storage, by identifier.", FilledBy::gather}),
            column(&ParcelRow::roofs_area_m2,
                   {"roofs_area_m2", "m2", "Area of all roofs", "Plan area of the computed roofs together."}),
            column(&ParcelRow::roofs_harvest_mean_m3,
                   {"roofs_harvest_mean_m3", "m3", "Mean harvest of all roofs",
                    "Winter harvest of the computed roofs together, mean over the tank years."}),
            column(&ParcelRow::plan_area_m2,
                   {"plan_area_m2", "m2", "Connected area", "Plan area of the connected roofs together."}),
            column(&ParcelRow::harvest_mean_m3,
                   shared::kHarvestMean.as("Winter harvest of the connected roofs, mean over the tank years.")),
            column(&ParcelRow::harvest_dependable_m3,
                   shared::kHarvestDependable.as("Winter harvest of the connected roofs together, reached in the share "
                                                 "of winters set as reliability.")),
            column(&ParcelRow::demand_m3,
                   shared::kDemand.as("Summer take of the parcel that storage could replace, season mean.")));
    }
    static constexpr auto storage_columns() {
        return std::tuple(
            column(&ParcelRow::storage_m3,
                   shared::kStorage.as("Nominal volume of the parcel's storage: tank volume times count.")),
            column(&ParcelRow::usable_m3, shared::kUsable), column(&ParcelRow::tank_count, shared::kTankCount),
            column(&ParcelRow::limited_by, shared::kLimitedBy),
            column(&ParcelRow::replaced_mean_m3, shared::kReplacedMean),
            column(&ParcelRow::replaced_dependable_m3, shared::kReplacedDependable),
            column(&ParcelRow::replaced_worst_m3, shared::kReplacedWorst),
            column(&ParcelRow::forbearance_m3,
                   shared::kForbearanceM3.as(
                       "Summer take replaced each season: dependable, or mean where nothing is known of dry winters.")),
            column(&ParcelRow::forbearance_lps,
                   shared::kForbearanceLps.as("The forbearance volume as a mean flow over the forbearance months.")),
            column(&ParcelRow::forbearance_term_m3, {"forbearance_term_m3", "m3", "Forbearance over the term",
                                                     "The forbearance volume times the years of the agreement."}),
            column(&ParcelRow::added_forbearance_m3,
                   shared::kAddedForbearance.as("What the storage replaces each season beyond what the storage already "
                                                "there replaces by itself.")));
    }
    static constexpr auto gain_columns() {
        return std::tuple(
            column(&ParcelRow::water_source,
                   {"water_source", "", "Water source",
                    "Where the summer water comes from, as the data or the default say.", FilledBy::plan}),
            column(&ParcelRow::source_share,
                   {"source_share", "1", "Source share", "Share of the take that the creek feels within the season."}),
            column(&ParcelRow::instream_gain_lps,
                   shared::kInstreamGain.as("The forbearance flow times the source share.")),
            column(&ParcelRow::added_gain_lps,
                   shared::kAddedGain.as("The added forbearance as a mean flow over the season, times the source "
                                         "share.")),
            column(&ParcelRow::pump_lps, {"pump_lps", "L/s", "Pump that stays off",
                                          "Flow of the diversion pump: a peak, never added up.", FilledBy::plan}),
            column(&ParcelRow::reach_id, shared::kReachId.as("Reach that its offer enters; null without streams.")),
            column(&ParcelRow::reach_entry, shared::kReachEntry),
            column(
                &ParcelRow::reach_distance_m,
                shared::kReachDistance.as("From its pad, else its first computed roof, down the slopes to the reach; "
                                          "straight from its diversion, or where no slope leads there.")),
            column(&ParcelRow::low_flow_lps, shared::kLowFlow),
            column(&ParcelRow::low_flow_share,
                   {"low_flow_share", "1", "Share of low flow",
                    "Added gain over the reach's low flow; null where that is not known or not above 0.",
                    FilledBy::gather}),
            column(&ParcelRow::subbasin_id,
                   shared::kSubbasinId.as("Sub-basin of the place that its offer comes from; null in none.")),
            column(&ParcelRow::season_reliability, shared::kSeasonReliability),
            column(&ParcelRow::volume_reliability, shared::kVolumeReliability),
            column(&ParcelRow::full_winters_share, shared::kFullWintersShare),
            column(&ParcelRow::overflow_mean_m3, shared::kOverflowMean));
    }
    static constexpr auto place_columns() {
        return std::tuple(
            column(&ParcelRow::delivery,
                   shared::kDelivery.as("How the water gets into the tank and out to the garden.")),
            column(&ParcelRow::gravity_check,
                   shared::kGravityCheck.as(
                       "Whether gravity alone surely fills and feeds, surely not, or the heights cannot tell.")),
            column(&ParcelRow::gravity_probability, shared::kGravityProbability),
            column(&ParcelRow::pad_elev_m, shared::kPadElev.as("Elevation of the parcel's levelled pad.")),
            column(&ParcelRow::fill_margin_m,
                   shared::kFillMargin.as(
                       "Height left between the gutter of the pad's roof and the tank's top after losses.")),
            column(&ParcelRow::pressure_kpa, shared::kPressure),
            column(&ParcelRow::fill_distance_m,
                   {"fill_distance_m", "m", "Fill lines",
                    "Horizontal distances from the connected roofs to the pad, added up."}),
            column(&ParcelRow::pipe_m, shared::kPipe),
            column(&ParcelRow::eave_sd_m,
                   {"eave_sd_m", "m", "Eave uncertainty",
                    "Standard deviation of the eave's elevation at the pad's roof: its ground and its height."}),
            column(&ParcelRow::pad_sd_m,
                   {"pad_sd_m", "m", "Pad uncertainty", "Standard deviation of the pad's elevation."}),
            column(&ParcelRow::no_pad_reason,
                   shared::kNoPadReason.as("Why none of its roofs has a pad: the reason of its first computed roof.")));
    }
    static constexpr auto cost_columns() {
        return std::tuple(
            column(&ParcelRow::existing_storage_m3, {"existing_storage_m3", "m3", "Existing storage",
                                                     "Storage already on the parcel, as the data say."}),
            column(&ParcelRow::new_storage_m3,
                   {"new_storage_m3", "m3", "New storage", "The part of the storage that is not there yet."}),
            column(&ParcelRow::top_up_m3, {"top_up_m3", "m3", "Top-up",
                                           "Usable storage that the dependable harvest does not fill: only a winter "
                                           "diversion, a separate permission, could."}),
            column(&ParcelRow::road_distance_m, shared::kRoadDistance),
            column(&ParcelRow::road_climb_m, shared::kRoadClimb),
            column(&ParcelRow::canopy_share, shared::kCanopyShare),
            column(&ParcelRow::cost,
                   {"cost", "", "Cost",
                    "Tanks, pad, pipes and pump in the project's currency; null where a price is missing."}),
            column(&ParcelRow::cost_per_m3,
                   {"cost_per_m3", "", "Cost per m3",
                    "Cost over the added forbearance of one season, in the currency per m3."}));
    }
    static constexpr auto ranking_columns() {
        return std::tuple(
            column(&ParcelRow::score,
                   {"score", "1", "Score",
                    "Weighted sum of the components, 0 to 1; null for parcels that are no candidates.",
                    FilledBy::ranking}),
            column(&ParcelRow::score_stream_gain, {"score_stream_gain", "1", "Score: stream gain",
                                                   "Stream gain over its reference range, 0 to 1.", FilledBy::ranking}),
            column(&ParcelRow::score_low_flow_share,
                   {"score_low_flow_share", "1", "Score: low flow",
                    "Share of the reach's low flow over its reference range, 0 to 1; null without a reach.",
                    FilledBy::ranking}),
            column(&ParcelRow::score_gravity,
                   {"score_gravity", "1", "Score: gravity", "Gravity probability over its reference range, 0 to 1.",
                    FilledBy::ranking}),
            column(&ParcelRow::score_cost,
                   {"score_cost", "1", "Score: cost",
                    "1 without cost, 0 from the end of the reference range of cost per m3 on.", FilledBy::ranking}),
            column(&ParcelRow::score_reliability,
                   {"score_reliability", "1", "Score: reliability",
                    "Season reliability over its reference range, 0 to 1.", FilledBy::ranking}),
            column(&ParcelRow::pareto_tier, {"pareto_tier", "1", "Pareto tier",
                                             "1: no other candidate is as good in everything and better in something; "
                                             "2: only those of tier 1 are; and so on.",
                                             FilledBy::ranking}),
            column(&ParcelRow::rank,
                   {"rank", "1", "Rank", "Position by score, ties by parcel identifier.", FilledBy::ranking}),
            column(&ParcelRow::rank_stability,
                   {"rank_stability", "1", "Rank stability",
                    "Share of the draws in which the parcel stays among the first.", FilledBy::ranking}),
            column(&ParcelRow::rank_scenario,
                   {"rank_scenario", "", "Ranked by",
                    "Scenario whose volumes, gain and cost the score counts: now, as in this row, or its name.",
                    FilledBy::ranking}),
            column(&ParcelRow::ask_first,
                   {"ask_first", "", "Ask first",
                    "The questions whose answers could change the result most, and by how much.", FilledBy::gather}));
    }
    static constexpr auto list_columns(auto&& use) {
        return std::apply(use, std::tuple_cat(identity_columns(), roofs_columns(), storage_columns(), gain_columns(),
                                              place_columns(), cost_columns(), ranking_columns()));
    }
};

}  // namespace eaveshed
