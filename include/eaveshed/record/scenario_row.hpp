// The rows of the table `scenarios`: what the storage as chosen would do in another climate, for every parcel with a
// storage and every roof in no parcel.
#pragma once

#include <optional>
#include <string>

#include "eaveshed/record/field.hpp"

namespace eaveshed {

struct ScenarioRow {
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
    std::optional<double> instream_gain_lps;
    std::optional<double> season_reliability;
};

template <typename Row, typename Visitor>
requires std::is_same_v<std::remove_const_t<Row>, ScenarioRow>
void visit_fields(Row& row, Visitor&& visit) {
    visit(Field{"scenario", "", "Scenario", "Name of the scenario."}, row.scenario);
    visit(Field{"parcel_id", "", "Parcel", "The parcel; null for a roof without one."}, row.parcel_id);
    visit(Field{"roof_id", "", "Roof", "The roof, where it lies in no parcel; else null."}, row.roof_id);
    visit(Field{"storage_m3", "m3", "Storage", "Nominal volume of the storage as it was chosen."}, row.storage_m3);
    visit(Field{"harvest_mean_m3", "m3", "Mean harvest", "Winter harvest in the scenario, mean over the tank years."},
          row.harvest_mean_m3);
    visit(Field{"harvest_dependable_m3", "m3", "Dependable harvest",
                "Winter harvest in the scenario, reached in the share of winters set as reliability."},
          row.harvest_dependable_m3);
    visit(Field{"demand_m3", "m3", "Season demand", "Summer take in the scenario, season mean."}, row.demand_m3);
    visit(Field{"replaced_mean_m3", "m3", "Replaced, mean", "Diversion replaced in the scenario's seasons, mean."},
          row.replaced_mean_m3);
    visit(Field{"replaced_dependable_m3", "m3", "Replaced, dependable",
                "Diversion replaced in the share of the scenario's seasons set as reliability."},
          row.replaced_dependable_m3);
    visit(Field{"replaced_worst_m3", "m3", "Replaced, worst", "Least diversion replaced in a season of the scenario."},
          row.replaced_worst_m3);
    visit(Field{"forbearance_m3", "m3", "Forbearance volume",
                "Summer take replaced each season of the scenario: dependable, or mean where nothing is known of dry "
                "winters."},
          row.forbearance_m3);
    visit(Field{"forbearance_now_m3", "m3", "Forbearance as screened",
                "The same without the scenario, as in parcels or roofs."},
          row.forbearance_now_m3);
    visit(Field{"instream_gain_lps", "L/s", "Stream gain",
                "The forbearance volume as a mean flow over the season, times the source share."},
          row.instream_gain_lps);
    visit(Field{"season_reliability", "1", "Season reliability",
                "Share of the scenario's seasons whose whole demand is met."},
          row.season_reliability);
}

}  // namespace eaveshed
