// Every setting as a plain value, in SI units, with its default. This file is the one place where a default is written;
// names, units, ranges, meanings and sources stand in the table (table.hpp), which reads the defaults from here.
//
// An empty text or list, or an empty optional, means "not given".
#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "eaveshed/core/choices.hpp"
#include "eaveshed/core/season.hpp"
#include "eaveshed/core/timeline.hpp"

namespace eaveshed {

enum class Outline : std::uint8_t { roof, walls };
enum class VerticalUnit : std::uint8_t { from_file, metre, foot, us_survey_foot };
enum class SurfaceKind : std::uint8_t { elevation, height };
// Which of the two numbers before a year comes first, in the dates of a table.
enum class DateOrder : std::uint8_t { from_data, day_month, month_day };
enum class GaugeTemperatureUnit : std::uint8_t { from_file, celsius, fahrenheit, kelvin };
enum class OutputUnits : std::uint8_t { si, us };

struct BasinSettings {
    std::string name;
    std::string output;
};

// A vector layer of a file. `layer` may be empty when the file has only one that fits.
struct LayerSource {
    std::string source;
    std::string layer;
    [[nodiscard]] bool given() const { return !source.empty(); }
};

// A field of a layer with the numbers of one quantity. `unit`: what they are in, the first name of a unit of
// core/units.hpp; empty: the setting's own.
struct QuantityField {
    std::string field;
    std::string unit;
    [[nodiscard]] bool given() const { return !field.empty(); }
};

struct FootprintSettings {
    LayerSource from;
    std::string id;     // fields; empty: not given
    std::string where;  // attribute filter
    Outline outline = Outline::roof;
    double overhang_m = 0.4;
    std::string material;
    std::string storeys;
    QuantityField eave_height;
    std::string connected_share;
    std::string parcel;
    double min_area_m2 = 20.0;
    double overlap_share = 0.5;
};

struct TerrainSettings {
    std::vector<std::string> elevation;
    VerticalUnit vertical_unit = VerticalUnit::from_file;
    std::optional<double> nodata;  // in the numbers of the file
    int band = 0;                  // from 1; 0: the only one
    std::vector<std::string> surface;
    SurfaceKind surface_kind = SurfaceKind::elevation;
    std::optional<double> surface_nodata;
    int surface_band = 0;
    std::optional<double> rmse_m;
    double coarse_cell_m = 3.0;
};

struct RainSettings {
    std::vector<std::string> source;
    RainKind kind = RainKind::monthly_normals;
    RainUnit unit = RainUnit::from_file;
    std::string start;
    std::string calendar;  // CF name; empty: from the file, else standard
    std::string variable;  // of a netCDF file or Zarr store with several
    std::string select;    // "member=3": of its other dimensions
    std::optional<double> dry_winter_factor;
    // Of a table of gauges.
    std::string stations;              // the table of their places
    std::vector<std::string> columns;  // of the table; empty: found by their names
    DateOrder date_order = DateOrder::from_data;
    std::vector<std::string> normals;
    int nearest_stations = 4;
};

struct EvapotranspirationSettings {
    std::vector<std::string> source;
    EvapotranspirationUnit unit = EvapotranspirationUnit::from_file;
};

struct TemperatureSettings {
    std::vector<std::string> minimum;
    std::vector<std::string> maximum;
    // Of tables of gauges.
    std::string stations;  // the table of their places
    std::string minimum_column;
    std::string maximum_column;
    GaugeTemperatureUnit unit = GaugeTemperatureUnit::from_file;
    DateOrder date_order = DateOrder::from_data;
};

struct ParcelSettings {
    LayerSource from;
    std::string id;
    std::string people;
    QuantityField irrigated_area_m2;
    QuantityField season_use_m3;
    std::string water_source;
    WaterSource default_water_source = WaterSource::unknown;
    std::string source_share;
    QuantityField stream_distance_m;
    QuantityField pump_lps;
    QuantityField existing_storage_m3;
    std::string owner_key;
    std::string status;
    std::vector<std::string> carry;
};

// How an offer finds its reach where no diversion point is given.
enum class StreamEntryBy : std::uint8_t {
    flow,     // down the ground's slopes to the first reach; else the nearest
    nearest,  // the nearest reach
};

struct StreamSettings {
    LayerSource from;
    std::string id;
    std::string name;
    QuantityField low_flow_lps;
    bool derive = false;
    double stream_area_km2 = 1.0;
    StreamEntryBy entry = StreamEntryBy::flow;
    std::optional<double> routing_cell_m;
    double join_m = 1.0;
    double gap_m = 30.0;
    double elevation_slack_m = 1.0;
    bool turn = false;

    [[nodiscard]] bool given() const { return !from.source.empty() || derive; }
};

struct SubbasinSettings {
    LayerSource from;
    std::string id;
};

struct DiversionSettings {
    LayerSource from;
    std::string parcel;
};

struct UsePointSettings {
    LayerSource from;
    std::string parcel;
};

struct RoadSettings {
    LayerSource from;
    double max_distance_m = 500.0;
};

struct ExclusionSettings {
    LayerSource from;
    double setback_m = 0.0;
    std::string name;
};

struct OverrideSettings {
    LayerSource from;
    std::string former;
};

// A call list that people have filled in.
struct ContactSettings {
    LayerSource from;
};

struct SeasonSettings {
    std::vector<int> fill_months{11, 12, 1, 2, 3, 4, 5};
    std::vector<int> forbear_months{8, 9, 10};
    std::vector<int> draw_months;  // empty: the forbearance months
    double term_years = 20.0;
};

struct HarvestSettings {
    std::map<std::string, double> runoff_coefficient{{"metal", 0.92},    {"shingle", 0.85},     {"tile", 0.84},
                                                     {"membrane", 0.80}, {"flat_gravel", 0.62}, {"green", 0.35}};
    double default_runoff_coefficient = 0.85;
    double default_connected_share = 0.75;
    double first_flush_mm = 0.5;
    int dry_days = 1;
    double wet_day_mm = 0.2;
    double collection_efficiency = 0.95;
    double mean_event_mm = 12.0;
};

struct DemandSettings {
    double people = 2.5;
    double litres_per_person_day = 190.0;
    double home_share = 0.3;
    double garden_m2 = 200.0;
    double crop_coefficient = 0.8;
    double irrigation_efficiency = 0.85;
    double rain_effectiveness = 0.75;
    double soil_store_mm = 25.0;
    double et0_mm_day = 5.0;
    std::optional<double> transmissivity_m2_day;
    std::optional<double> storage_coefficient;
    double shallow_well_share = 0.5;
};

// One option of the catalogue: `count` equal tanks that stand level with each other.
struct TankOption {
    double volume_m3 = 0.0;  // of one tank
    double diameter_m = 0.0;
    double height_m = 0.0;
    int count = 1;
    std::optional<double> cost;

    [[nodiscard]] double nominal_m3() const { return volume_m3 * count; }
};

[[nodiscard]] std::vector<TankOption> shipped_catalogue();

struct StorageSettings {
    double reliability = 0.80;
    double storage_share = 0.95;
    double marginal_yield = 0.25;
    double seldom_full_share = 0.5;
    double reserve_m3 = 0.0;
    StoreRule rule = StoreRule::after_spillage;
    double permit_volume_m3 = 18.93;
    double permit_ratio = 2.0;
};

struct SitingSettings {
    EaveFrom eave_from = EaveFrom::mid;
    double storey_height_m = 2.8;
    double default_eave_height_m = 2.8;
    double eave_sd_field_m = 0.1;
    double eave_sd_surface_m = 0.3;
    double eave_sd_storeys_m = 0.5;
    double eave_sd_default_m = 0.6;
    double pad_margin_m = 0.3;
    double slope_window_m = 5.0;
    double max_slope_pct = 15.0;
    double max_cut_m = 0.6;
    double boundary_setback_m = 1.5;
    double building_setback_m = 1.5;
    double stream_setback_m = 15.0;
    double max_fill_m = 60.0;
    double max_feed_m = 60.0;
    double max_lift_m = 10.0;
    double max_feed_lift_m = 10.0;
    double lift_step_m = 1.0;
    double fill_weight = 2.0;
    double fill_loss_m = 0.3;
    double fill_gradient = 0.01;
    double outlet_height_m = 0.1;
    double tap_height_m = 0.6;
    double garden_max_slope_pct = 20.0;
    double garden_percentile = 50.0;
    double garden_step_m = 3.0;
    double design_flow_lps = 0.25;
    double pipe_bore_mm = 32.0;
    double pipe_slack = 1.1;
    double hazen_williams_c = 150.0;
    double filter_loss_kpa = 5.0;
    double required_kpa = 70.0;
    double minimum_kpa = 10.0;
    double pressure_step_kpa = 2.5;
};

struct NoteSettings {
    double dry_line_max_m = 12.0;
    double canopy_height_m = 2.0;
    double canopy_ring_m = 5.0;
    double canopy_share = 0.2;
    double storm_mm_h = 75.0;
    double pump_efficiency = 0.4;
};

struct CostSettings {
    std::optional<double> pad;
    std::optional<double> pipe_per_m;
    std::optional<double> pump;
    std::string currency;
};

// Words of rank.scenario that name no scenario: as screened, and each parcel's own least.
inline constexpr std::string_view kScenarioNow = "now";
inline constexpr std::string_view kScenarioWorst = "worst";

// Weights of the score's components and the reference range over which each is scaled to 0..1.
struct RankSettings {
    double weight_stream_gain = 0.35;
    double weight_low_flow_share = 0.15;
    double weight_gravity = 0.20;
    double weight_cost = 0.20;
    double weight_reliability = 0.10;
    double range_stream_gain_lps = 0.01;
    double range_low_flow_share = 0.05;
    double range_cost_per_m3 = 2000.0;
    int draws = 1000;
    int seed = 1;
    int top = 25;
    std::string scenario{kScenarioNow};  // now, worst, or the name of a scenario
};

struct ScenarioSettings {
    std::string name;
    std::array<double, 12> rain_factor{1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1};  // January first
    std::array<double, 12> et0_factor{1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1};
};

struct OutputSettings {
    std::string crs;
    bool storage_curve = true;
    OutputUnits units = OutputUnits::si;
};

struct CheckSettings {
    std::vector<std::string> accepted;  // codes of core/check_code.hpp
};

struct Settings {
    BasinSettings basin;
    FootprintSettings footprints;
    TerrainSettings terrain;
    RainSettings rain;
    EvapotranspirationSettings evapotranspiration;
    TemperatureSettings temperature;
    ParcelSettings parcels;
    StreamSettings streams;
    SubbasinSettings subbasins;
    DiversionSettings diversions;
    UsePointSettings use_points;
    std::vector<ExclusionSettings> exclusions;
    RoadSettings roads;
    std::vector<std::string> canopy;
    OverrideSettings overrides;
    ContactSettings contacts;
    SeasonSettings season;
    HarvestSettings harvest;
    DemandSettings demand;
    std::vector<TankOption> tanks = shipped_catalogue();
    StorageSettings storage;
    SitingSettings siting;
    NoteSettings notes;
    CostSettings cost;
    RankSettings rank;
    std::vector<ScenarioSettings> scenarios;
    OutputSettings output;
    CheckSettings check;

    // The season's months as sets; the settings were validated when they were loaded.
    [[nodiscard]] Season season_months() const;
};

}  // namespace eaveshed
