#include <gtest/gtest.h>

#include <map>
#include <string>

#include "eaveshed/settings/table.hpp"
#include "project/project_text.hpp"

namespace eaveshed {
namespace {

using Values = std::map<std::string, std::string>;

// Written from the method's description, section by section, not from settings.hpp.
const Values& roof_rain_harvest() {
    static const Values kValues{
        {"footprints.outline", "roof"},
        {"footprints.overhang_m", "0.4"},
        {"footprints.min_area_m2", "20"},
        {"footprints.overlap_share", "0.5"},
        {"terrain.vertical_unit", "from the file"},
        {"terrain.surface_kind", "elevation"},
        {"terrain.coarse_cell_m", "3"},
        {"terrain.band", "0"},  // the only one
        {"terrain.surface_band", "0"},
        {"rain.kind", "monthly-normals"},
        {"rain.unit", "from the file"},
        {"rain.date_order", "from the data"},
        {"rain.nearest_stations", "4"},
        {"temperature.unit", "from the file"},
        {"temperature.date_order", "from the data"},
        {"evapotranspiration.unit", "from the file"},
        {"season.fill_months", "[11, 12, 1, 2, 3, 4, 5]"},
        {"season.forbear_months", "[8, 9, 10]"},
        {"season.draw_months", "[8, 9, 10]"},
        {"season.term_years", "20"},
        {"harvest.runoff_coefficient.metal", "0.92"},
        {"harvest.runoff_coefficient.shingle", "0.85"},
        {"harvest.runoff_coefficient.tile", "0.84"},
        {"harvest.runoff_coefficient.membrane", "0.8"},
        {"harvest.runoff_coefficient.flat_gravel", "0.62"},
        {"harvest.runoff_coefficient.green", "0.35"},
        {"harvest.default_runoff_coefficient", "0.85"},
        {"harvest.default_connected_share", "0.75"},
        {"harvest.first_flush_mm", "0.5"},
        {"harvest.dry_days", "1"},
        {"harvest.wet_day_mm", "0.2"},
        {"harvest.collection_efficiency", "0.95"},
        {"harvest.mean_event_mm", "12"},
    };
    return kValues;
}

const Values& demand_storage() {
    static const Values kValues{
        {"parcels.default_water_source", "unknown"},
        {"demand.people", "2.5"},
        {"demand.litres_per_person_day", "190"},
        {"demand.home_share", "0.3"},
        {"demand.garden_m2", "200"},
        {"demand.crop_coefficient", "0.8"},
        {"demand.irrigation_efficiency", "0.85"},
        {"demand.rain_effectiveness", "0.75"},
        {"demand.soil_store_mm", "25"},
        {"demand.et0_mm_day", "5"},
        {"demand.shallow_well_share", "0.5"},
        {"storage.reliability", "0.8"},
        {"storage.storage_share", "0.95"},
        {"storage.marginal_yield", "0.25"},
        {"storage.seldom_full_share", "0.5"},
        {"storage.reserve_m3", "0"},
        {"storage.rule", "after-spillage"},
        {"storage.permit_volume_m3", "18.93"},
        {"storage.permit_ratio", "2"},
    };
    return kValues;
}

const Values& siting() {
    static const Values kValues{
        {"siting.eave_from", "mid"},
        {"siting.storey_height_m", "2.8"},
        {"siting.default_eave_height_m", "2.8"},
        {"siting.eave_sd_field_m", "0.1"},
        {"siting.eave_sd_surface_m", "0.3"},
        {"siting.eave_sd_storeys_m", "0.5"},
        {"siting.eave_sd_default_m", "0.6"},
        {"siting.pad_margin_m", "0.3"},
        {"siting.slope_window_m", "5"},
        {"siting.max_slope_pct", "15"},
        {"siting.max_cut_m", "0.6"},
        {"siting.boundary_setback_m", "1.5"},
        {"siting.building_setback_m", "1.5"},
        {"siting.stream_setback_m", "15"},
        {"siting.max_fill_m", "60"},
        {"siting.max_feed_m", "60"},
        {"siting.max_lift_m", "10"},
        {"siting.max_feed_lift_m", "10"},
        {"siting.lift_step_m", "1"},
        {"siting.fill_weight", "2"},
        {"siting.fill_loss_m", "0.3"},
        {"siting.fill_gradient", "0.01"},
        {"siting.outlet_height_m", "0.1"},
        {"siting.tap_height_m", "0.6"},
        {"siting.garden_max_slope_pct", "20"},
        {"siting.garden_percentile", "50"},
        {"siting.garden_step_m", "3"},
        {"siting.design_flow_lps", "0.25"},
        {"siting.pipe_bore_mm", "32"},
        {"siting.pipe_slack", "1.1"},
        {"siting.hazen_williams_c", "150"},
        {"siting.filter_loss_kpa", "5"},
        {"siting.required_kpa", "70"},
        {"siting.minimum_kpa", "10"},
        {"siting.pressure_step_kpa", "2.5"},
    };
    return kValues;
}

// `rank.seed` and [output] are named by the file contract, not by the method; `rank.scenario` and
// `roads.max_distance_m` are our own, as are those of [streams] but `derive` and `stream_area_km2`.
const Values& planning() {
    static const Values kValues{
        {"notes.canopy_height_m", "2"},
        {"notes.canopy_ring_m", "5"},
        {"notes.canopy_share", "0.2"},
        {"notes.dry_line_max_m", "12"},
        {"notes.pump_efficiency", "0.4"},
        {"notes.storm_mm_h", "75"},
        {"rank.weight_stream_gain", "0.35"},
        {"rank.weight_low_flow_share", "0.15"},
        {"rank.weight_gravity", "0.2"},
        {"rank.weight_cost", "0.2"},
        {"rank.weight_reliability", "0.1"},
        {"rank.range_stream_gain_lps", "0.01"},
        {"rank.range_low_flow_share", "0.05"},
        {"rank.range_cost_per_m3", "2000"},
        {"rank.draws", "1000"},
        {"rank.seed", "1"},
        {"rank.top", "25"},
        {"rank.scenario", "now"},
        {"roads.max_distance_m", "500"},
        {"output.storage_curve", "true"},
        {"output.units", "si"},
        {"streams.derive", "false"},
        {"streams.stream_area_km2", "1"},
        {"streams.entry", "flow"},
        {"streams.join_m", "1"},
        {"streams.gap_m", "30"},
        {"streams.elevation_slack_m", "1"},
        {"streams.turn", "false"},
    };
    return kValues;
}

// Volume, diameter, height, count.
const Values& catalogue() {
    static const Values kValues = [] {
        constexpr const char* kOptions[][4] = {
            {"1.9", "1.22", "1.52", "1"},  {"5.7", "1.83", "2.13", "1"},   {"9.5", "2.41", "2.31", "1"},
            {"18.9", "3.02", "2.95", "1"}, {"18.9", "3.02", "2.95", "2"},  {"18.9", "3.02", "2.95", "3"},
            {"18.9", "3.02", "2.95", "5"}, {"18.9", "3.02", "2.95", "10"},
        };
        Values values;
        int number = 0;
        for (const auto& option : kOptions) {
            const std::string table = "tanks." + std::to_string(++number);
            values[table + ".volume_m3"] = option[0];
            values[table + ".diameter_m"] = option[1];
            values[table + ".height_m"] = option[2];
            values[table + ".count"] = option[3];
        }
        return values;
    }();
    return kValues;
}

TEST(Defaults, AreTheMethodsAndNoOthers) {
    Values expected;
    for (const Values& part : {roof_rain_harvest(), demand_storage(), siting(), planning(), catalogue()}) {
        expected.insert(part.begin(), part.end());
    }
    Values found;
    for (const auto& [name, value] : effective_settings(Settings{})) {
        EXPECT_EQ(found.count(name), 0U) << name << " twice";
        if (!value.empty()) {
            found[name] = value;
        }
    }
    EXPECT_EQ(found, expected);
}

TEST(Defaults, StandWhenTheProjectFileGivesOnlyWhatIsRequired) {
    Settings settings = testing::loaded(testing::project_and(""));
    EXPECT_EQ(settings.footprints.from.source, "roofs.gpkg");
    EXPECT_EQ(settings.terrain.elevation, std::vector<std::string>{"dem.tif"});
    EXPECT_EQ(settings.rain.source, std::vector<std::string>{"rain.tif"});
    settings.footprints.from.source.clear();
    settings.terrain.elevation.clear();
    settings.rain.source.clear();
    EXPECT_EQ(effective_settings(settings), effective_settings(Settings{}));
}

TEST(Defaults, LieInTheirRanges) {
    const Settings fresh;
    for (const Setting& setting : settings_table()) {
        if (const auto* reach = std::get_if<Reach<double>>(&setting.access); reach != nullptr && !setting.required) {
            const bool item = find_section(setting.section)->repeated;
            Settings one = fresh;
            one.exclusions.resize(1);
            one.scenarios.resize(1);
            EXPECT_TRUE(setting.range.holds(reach->get(item ? one : fresh, 0)))
                << setting.section << '.' << setting.key;
        }
    }
}

// R1.12 (IRCSA toolkit, Warwick DTU, Centre for Science and Environment, TRCA/CVC guide): hard roofs 0.5 to 0.95;
// R4.8: 177.91 to 310.4 L; R4.7 (FAO irrigation training manual 4, from memory): sprinkler 75 %, drip 90 %.
TEST(Defaults, LieInsideThePublishedIntervals) {
    const Settings fresh;
    for (const char* hard : {"metal", "shingle", "tile", "membrane", "flat_gravel"}) {
        EXPECT_GE(fresh.harvest.runoff_coefficient.at(hard), 0.5) << hard;
        EXPECT_LE(fresh.harvest.runoff_coefficient.at(hard), 0.95) << hard;
    }
    EXPECT_GT(fresh.demand.litres_per_person_day, 177.91);
    EXPECT_LT(fresh.demand.litres_per_person_day, 310.4);
    EXPECT_GT(fresh.demand.irrigation_efficiency, 0.75);
    EXPECT_LT(fresh.demand.irrigation_efficiency, 0.90);
}

TEST(Defaults, GiveATankYearFromNovember) {
    const Season season = Settings{}.season_months();
    EXPECT_EQ(season.first_month, 11);
    EXPECT_EQ(season.fill.count(), 7);
    EXPECT_EQ(season.forbear.mean_year_days(), 92);
    EXPECT_EQ(season.draw, season.forbear);
}

}  // namespace
}  // namespace eaveshed
