// The rows of the layer `roofs`: one for every footprint of the input, in input order. An empty member is a null
// column.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/record/shared_columns.hpp"
#include "eaveshed/record/table.hpp"

namespace eaveshed {

struct RoofRow {
    static constexpr Table kTable{
        .name = "roofs",
        .title = "Roofs",
        .meaning =
            "Every roof of the input: harvest, storage, summer diversion replaced, and where a tank could stand.",
        .shape = LayerShape::multipolygon,
        .filled_by = FilledBy::tile,
        .rows =
            "MultiPolygon: the footprint as it was used, repaired where it was invalid and grown by the overhang where "
            "the input drew walls. One row for every footprint of the input, in its order.",
        .notes =
            "With `smaller_storage` among the flags all storage columns are those of the smaller storage that has a "
            "pad. Without a pad they are those of the recommended storage, and `no_pad_reason` names the rule that "
            "removed most places for it."};

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
    std::optional<double> leaves_share;
    std::optional<std::int64_t> freeze_months_count;
    std::optional<std::string> reach_id;
    std::optional<EntryWay> reach_entry;
    std::optional<double> reach_distance_m;
    std::optional<std::string> subbasin_id;

    static constexpr auto list_columns(auto&& use) {
        return use(
            column(&RoofRow::roof_id,
                   shared::kRoofId.as("Identifier of the footprint: its id field, else the feature id.")),
            column(&RoofRow::parcel_id, shared::kParcelId),
            column(&RoofRow::status, {"status", "", "Status", "ok, or why the roof was not computed."}),
            column(&RoofRow::flags, shared::kFlags), column(&RoofRow::plan_area_m2, shared::kPlanArea),
            column(&RoofRow::runoff_coefficient, {"runoff_coefficient", "1", "Runoff coefficient",
                                                  "Share of the rain that leaves the roof's surface."}),
            column(&RoofRow::connected_share, {"connected_share", "1", "Connected share",
                                               "Share of the roof that drains to collected downspouts."}),
            column(&RoofRow::ground_elev_m, shared::kGroundElev),
            column(&RoofRow::eave_elev_m, {"eave_elev_m", "m", "Eave elevation", "Elevation of the gutter."}),
            column(&RoofRow::fill_rain_mm,
                   {"fill_rain_mm", "mm", "Fill rain", "Rain of the fill months, mean over the tank years."}),
            column(&RoofRow::harvest_mean_m3, shared::kHarvestMean),
            column(&RoofRow::harvest_median_m3,
                   {"harvest_median_m3", "m3", "Median harvest", "Winter harvest reached in every second winter."}),
            column(&RoofRow::harvest_dependable_m3, shared::kHarvestDependable),
            column(&RoofRow::first_flush_m3, {"first_flush_m3", "m3", "First flush",
                                              "Runoff diverted in the fill months, mean over the tank years."}),
            column(&RoofRow::demand_m3, shared::kDemand), column(&RoofRow::storage_m3, shared::kStorage),
            column(&RoofRow::usable_m3, shared::kUsable), column(&RoofRow::tank_count, shared::kTankCount),
            column(&RoofRow::limited_by, shared::kLimitedBy), column(&RoofRow::replaced_mean_m3, shared::kReplacedMean),
            column(&RoofRow::replaced_dependable_m3, shared::kReplacedDependable),
            column(&RoofRow::replaced_worst_m3, shared::kReplacedWorst),
            column(&RoofRow::forbearance_m3, shared::kForbearanceM3),
            column(&RoofRow::forbearance_lps, shared::kForbearanceLps),
            column(&RoofRow::instream_gain_lps, shared::kInstreamGain),
            column(&RoofRow::season_reliability, shared::kSeasonReliability),
            column(&RoofRow::volume_reliability, shared::kVolumeReliability),
            column(&RoofRow::full_winters_share, shared::kFullWintersShare),
            column(&RoofRow::overflow_mean_m3, shared::kOverflowMean), column(&RoofRow::delivery, shared::kDelivery),
            column(&RoofRow::gravity_check, shared::kGravityCheck),
            column(&RoofRow::gravity_probability, shared::kGravityProbability),
            column(&RoofRow::window_low_elev_m,
                   {"window_low_elev_m", "m", "Window, low",
                    "Lowest pad elevation that feeds the use point without a pump, pipe friction left out."}),
            column(&RoofRow::window_high_elev_m, {"window_high_elev_m", "m", "Window, high",
                                                  "Highest pad elevation that the gutter still fills, the line's fall "
                                                  "left out; below the low end no place does without a pump."}),
            column(&RoofRow::pad_elev_m, shared::kPadElev), column(&RoofRow::pressure_kpa, shared::kPressure),
            column(&RoofRow::fill_distance_m, shared::kFillDistance),
            column(&RoofRow::no_pad_reason, shared::kNoPadReason),
            column(&RoofRow::leaves_share,
                   {"leaves_share", "1", "Leaves",
                    "Share of the ring notes.canopy_ring_m around the roof under canopy taller than "
                    "notes.canopy_height_m; null without a canopy raster."}),
            column(&RoofRow::freeze_months_count,
                   {"freeze_months_count", "1", "Freezing months",
                    "Months of the year whose mean daily minimum temperature is below 0 C; null without temperature "
                    "rasters."}),
            column(&RoofRow::reach_id, shared::kReachId), column(&RoofRow::reach_entry, shared::kReachEntry),
            column(&RoofRow::reach_distance_m, shared::kReachDistance),
            column(&RoofRow::subbasin_id, shared::kSubbasinId));
    }
};

}  // namespace eaveshed
