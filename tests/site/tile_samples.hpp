// A roof, its climate and its ground, small enough to work out by hand.
#pragma once

#include <functional>
#include <memory>
#include <utility>
#include <vector>

#include "eaveshed/settings/settings.hpp"
#include "eaveshed/site/climate.hpp"
#include "eaveshed/site/tile_input.hpp"
#include "support/terrain_cells.hpp"

namespace eaveshed {

// One cell that covers everything, with these values step by step.
inline StepField one_cell(std::vector<double> values) {
    StepField field;
    field.grid = {.x_min = -1e4, .y_max = 1e4, .cell_width = 2e4, .cell_height = 2e4, .rows = 1, .cols = 1};
    field.window = {0, 1, 0, 1};
    field.steps = values.size();
    field.values = std::move(values);
    return field;
}

inline RoofClimate climate_of(RainRecord record, StepField rain, Et0Basis et0 = AssumedEt0{}) {
    return {std::make_shared<RainRecord>(std::move(record)), std::make_shared<StepField>(std::move(rain)),
            std::make_shared<Et0Basis>(std::move(et0))};
}

// A mean year of 100 mm in each month from November to May, and none from June to October.
inline RoofClimate mean_year(const Settings& settings, Et0Basis et0 = AssumedEt0{}) {
    return climate_of(MeanYear(make_normals_timeline(settings.season_months())),
                      one_cell({100, 100, 100, 100, 100, 100, 100, 0, 0, 0, 0, 0}), std::move(et0));
}

// Tank years from November 1990; all rain of a year falls in its November.
inline RoofClimate november_rains(const Settings& settings, const std::vector<double>& of_year_mm) {
    std::vector<double> rain;
    for (const double depth : of_year_mm) {
        rain.push_back(depth);
        rain.insert(rain.end(), 11, 0.0);
    }
    MonthRecord record(make_series_timeline(RainKind::monthly, Calendar::standard, {1990, 11, 1}, rain.size(),
                                            settings.season_months()));
    return climate_of(std::move(record), one_cell(std::move(rain)));
}

// Two options: 5 m3, of which 4.75 m3 above the outlet (0.1 of 2 m), and four such tanks.
inline Settings two_options() {
    Settings settings;
    settings.tanks = {{.volume_m3 = 5.0, .diameter_m = 1.8, .height_m = 2.0, .count = 4, .cost = {}},
                      {.volume_m3 = 5.0, .diameter_m = 1.8, .height_m = 2.0, .count = 1, .cost = {}}};
    return settings;
}

// 100 m2 of metal, wholly connected.
inline TileRoof roof_at(double x, double y, std::uint64_t ordinal = 0) {
    TileRoof roof;
    roof.ordinal = ordinal;
    roof.plan_area_m2 = 100.0;
    roof.facts.material = "metal";
    roof.facts.connected_share = 1.0;
    roof.facts.eave_height_m = 3.0;
    roof.latitude_deg = 40.0;
    roof.outline = testing::rectangle(x, y, 10.0, 10.0);
    roof.interior = {x + 5.0, y + 5.0};
    roof.climate_place.rain = roof.interior;
    return roof;
}

// 9.2 m3 over the 92 days from August to October: 0.1 m3 a day.
inline TileParcel parcel_with_measured_use() {
    TileParcel parcel;
    parcel.facts.season_use_m3 = 9.2;
    parcel.facts.water_source = "creek";
    return parcel;
}

// 200 by 200 m of cells of 2 m that rise 5 % to the east and 0.1 % to the north.
inline const Grid kGround{
    .x_min = 0.0, .y_max = 200.0, .cell_width = 2.0, .cell_height = 2.0, .rows = 100, .cols = 100};
inline double ground_m(Point p) {
    return 100.0 + 0.05 * p.x + 0.001 * p.y;
}

inline TileInput tile_with(std::vector<TileSite> sites, const RoofClimate& climate) {
    TileInput tile(climate);
    tile.sites = std::move(sites);
    for (const TileSite& site : tile.sites) {
        for (const TileRoof& roof : site.roofs) {
            if (!roof.outline.empty()) {
                tile.buildings.push_back({roof.ordinal, roof.outline});
            }
        }
    }
    tile.terrain = testing::cells(kGround, ground_m);
    return tile;
}

}  // namespace eaveshed
