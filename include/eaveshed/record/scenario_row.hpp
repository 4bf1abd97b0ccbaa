// The rows of the table `scenarios`: what the storage as chosen would do in another climate, for every parcel with a
// storage and every roof in no parcel.
#pragma once

#include <optional>
#include <string>

#include "eaveshed/record/shared_columns.hpp"
#include "eaveshed/record/table.hpp"

namespace eaveshed {

struct ScenarioRow {
    static constexpr Table kTable{
        .name = "scenarios",
        .title = "Scenarios",
        .meaning = "What the storage as chosen would replace in other climates.",
        .shape = LayerShape::none,
        .filled_by = FilledBy::tile,
        .rows =
            "No geometry; empty without `[[scenarios]]`. The store run again with the scenario's factors on rain and "
            "evapotranspiration, with storage and pad as chosen."};

    std::string scenario;
    std::optional<std::string> parcel_id;
    std::optional<std::string> roof_id;
    std::optional<double> storage_m3;
    std::optional<double> harvest_mean_m3;
    std::optional<double> harvest_dependable_m3;
    std::optional<double> demand_m3;
    std::optional<double> replaced_mean_m3;
    std::optional<double> replaced_dependable_m3;
    std::optional<double> replaced_worst_m3;
    std::optional<double> forbearance_m3;
    std::optional<double> forbearance_now_m3;
    std::optional<double> added_forbearance_m3;
    std::optional<double> instream_gain_lps;
    std::optional<double> added_gain_lps;
    std::optional<double> season_reliability;

    static constexpr auto list_columns(auto&& use) {
        return use(
            column(&ScenarioRow::scenario, {"scenario", "", "Scenario", "Name of the scenario.", FilledBy::plan}),
            column(&ScenarioRow::parcel_id, shared::kParcelId.as("The parcel; null for a roof without one.")),
            column(&ScenarioRow::roof_id, shared::kRoofId.as("The roof, where it lies in no parcel; else null.")),
            column(&ScenarioRow::storage_m3, shared::kStorage.as("Nominal volume of the storage as it was chosen.")),
            column(&ScenarioRow::harvest_mean_m3,
                   shared::kHarvestMean.as("Winter harvest in the scenario, mean over the tank years.")),
            column(&ScenarioRow::harvest_dependable_m3,
                   shared::kHarvestDependable.as(
                       "Winter harvest in the scenario, reached in the share of winters set as reliability.")),
            column(&ScenarioRow::demand_m3, shared::kDemand.as("Summer take in the scenario, season mean.")),
            column(&ScenarioRow::replaced_mean_m3,
                   shared::kReplacedMean.as("Diversion replaced in the scenario's seasons, mean.")),
            column(&ScenarioRow::replaced_dependable_m3,
                   shared::kReplacedDependable.as(
                       "Diversion replaced in the share of the scenario's seasons set as reliability.")),
            column(&ScenarioRow::replaced_worst_m3,
                   shared::kReplacedWorst.as("Least diversion replaced in a season of the scenario.")),
            column(&ScenarioRow::forbearance_m3,
                   shared::kForbearanceM3.as("Summer take replaced each season of the scenario: dependable, or mean "
                                             "where nothing is known of dry winters.")),
            column(&ScenarioRow::forbearance_now_m3, {"forbearance_now_m3", "m3", "Forbearance as screened",
                                                      "The same without the scenario, as in parcels or roofs."}),
            column(&ScenarioRow::added_forbearance_m3,
                   shared::kAddedForbearance.as("What the storage replaces in the scenario beyond what the storage "
                                                "already there replaces in it by itself.")),
            column(&ScenarioRow::instream_gain_lps,
                   shared::kInstreamGain.as(
                       "The forbearance volume as a mean flow over the season, times the source share.")),
            column(
                &ScenarioRow::added_gain_lps,
                shared::kAddedGain.as("The added forbearance as a mean flow over the season, times the source share.")),
            column(&ScenarioRow::season_reliability,
                   shared::kSeasonReliability.as("Share of the scenario's seasons whose whole demand is met.")));
    }
};

}  // namespace eaveshed
