#include "eaveshed/site/place.hpp"

#include <algorithm>
#include <cmath>

#include "eaveshed/siting/garden.hpp"
#include "eaveshed/siting/pad_size.hpp"
#include "eaveshed/terrain/slope.hpp"

namespace eaveshed {

namespace {

constexpr double kPadSlackM = 1.0;  // around what is reported of a pad: more than any rounding

// Cells of the four around a point.
CellRange cells_at(const Grid& grid, Point point) {
    return grid.cells_around({point.x, point.y, point.x, point.y});
}

TankGround ground_in_catalogue(const TankOption& tank, const Settings& settings) {
    return ground_of({.diameter_m = tank.diameter_m, .count = tank.count}, settings.siting.pad_margin_m);
}

// Whole cells that tanks reach beyond the middle of their pad, with those between which their ground lies.
std::int64_t tank_reach_cells(const Settings& settings, double smaller_cell_side_m) {
    const double reach = tank_reach_m(settings);
    return reach > 0.0 ? static_cast<std::int64_t>(std::ceil(reach / smaller_cell_side_m)) + 2 : 0;
}

Box roof_box(const TileRoof& roof, const TerrainMetric& metric, double reach_m) {
    const LocalFrame frame = metric.frame_at(roof.interior);
    return bounds(roof.outline).grown(reach_m / frame.metres_per_x, reach_m / frame.metres_per_y);
}

}  // namespace

double widest_pad_m(const Settings& settings) {
    double widest = 0.0;
    for (const TankOption& tank : settings.tanks) {
        widest = std::max(widest, ground_in_catalogue(tank, settings).pad_radius_m);
    }
    return widest;
}

double tank_reach_m(const Settings& settings) {
    double reach = 0.0;
    for (const TankOption& tank : settings.tanks) {
        reach = std::max(reach, ground_in_catalogue(tank, settings).reach_m());
    }
    return reach;
}

double elevation_rmse_m(const CellSides& sides, const TerrainSettings& settings) {
    constexpr double kShareOfCell = 0.1;
    constexpr double kLeastM = 0.15;
    return settings.rmse_m.value_or(std::max(kLeastM, kShareOfCell * sides.larger_m()));
}

std::optional<Eave> evaluate_eave(const TileRoof& roof, const TileInput& tile, const TileRules& rules,
                                  RoofRows& result) {
    RoofRow& row = result.roof;
    const auto ground = roof.outline.empty() ? std::nullopt : ground_along(roof.outline, tile.terrain);
    if (!ground) {
        row.flags.add(Flag::no_elevation);
        return std::nullopt;
    }
    if (ground->gaps) {
        row.flags.add(Flag::dem_gap);
    }
    EaveData data{roof.facts.eave_height_m, std::nullopt, roof.facts.storeys, roof.facts.eave_elev_m};
    if (tile.surface && !roof.surface_outline.empty()) {
        data.surface_m = surface_percentile(roof.surface_outline, *tile.surface);
    }
    const Eave eave = eave_of(*ground, data, rules.eave);
    if (eave.basis == EaveBasis::standard_height) {
        row.flags.add(Flag::default_eave);
    }
    if (cell_sides(tile.terrain.grid(), tile.metric, roof.interior).larger_m() >
        rules.settings->terrain.coarse_cell_m) {
        row.flags.add(Flag::coarse_elevation);
    }
    row.ground_elev_m = ground->mid_m;
    row.eave_elev_m = eave.elev_m;
    return eave;
}

RoofCells roof_cells(const TileRoof& roof, const Grid& grid, const TerrainMetric& metric, const Settings& settings) {
    const CellSides sides = cell_sides(grid, metric, roof.interior);
    return {sides,
            {.slope = slope_reach(settings.siting.slope_window_m, sides.smaller_m()),
             .tanks = tank_reach_cells(settings, sides.smaller_m())},
            garden_step_cells(settings.siting.garden_step_m, sides.smaller_m())};
}

CellRange cells_in_reach(const TileRoof& roof, const Grid& grid, const TerrainMetric& metric,
                         const SitingSettings& settings) {
    return cells_within(grid, metric.frame_at(roof.interior), bounds(roof.outline),
                        std::max(settings.max_feed_m, settings.max_fill_m));
}

CellRange cells_around_roof(const TileRoof& roof, const Grid& grid, const TerrainMetric& metric,
                            const Settings& settings) {
    return with_rim(cells_in_reach(roof, grid, metric, settings.siting),
                    roof_cells(roof, grid, metric, settings).reach.rim(), grid);
}

std::vector<CellRange> terrain_needed(const TileRoof& roof, const TileParcel* parcel, const Grid& grid,
                                      const TerrainMetric& metric, const Settings& settings) {
    std::vector<CellRange> ranges;
    if (!roof.outline.empty()) {
        ranges.push_back(cells_around_roof(roof, grid, metric, settings));
    }
    if (const auto use = parcel != nullptr ? parcel->facts.use_point() : std::nullopt) {
        ranges.push_back(cells_at(grid, *use));
    }
    return ranges;
}

Box buildings_needed(const TileRoof& roof, const TerrainMetric& metric, const Settings& settings) {
    const SitingSettings& siting = settings.siting;
    // A tank within reach of the roof may be as near to another footprint as to the roof itself: twice the reach.
    const double tanks_m = siting.max_fill_m + tank_reach_m(settings);
    return roof_box(roof, metric,
                    std::max({2.0 * siting.max_feed_m, 2.0 * tanks_m,
                              tanks_m + siting.building_setback_m + widest_pad_m(settings)}));
}

double obstacle_reach_m(const Settings& settings) {
    double setback = settings.siting.stream_setback_m;
    for (const ExclusionSettings& exclusion : settings.exclusions) {
        setback = std::max(setback, exclusion.setback_m);
    }
    return setback + tank_reach_m(settings) + widest_pad_m(settings);
}

Box pad_places(const TileRoof& roof, const TerrainMetric& metric, const Settings& settings) {
    return roof_box(roof, metric, settings.siting.max_fill_m);
}

Box roads_needed(const TileRoof& roof, const TerrainMetric& metric, const Settings& settings) {
    return roof_box(roof, metric, settings.siting.max_fill_m + settings.roads.max_distance_m + kPadSlackM);
}

Box canopy_needed(const TileRoof& roof, const TerrainMetric& metric, const Settings& settings) {
    Box box;
    if (roof.to_canopy && !roof.outline.empty()) {
        const double pads_m = settings.siting.max_fill_m + tank_reach_m(settings) + widest_pad_m(settings);
        const Box pads = roof_box(roof, metric, std::max(pads_m, settings.notes.canopy_ring_m) + kPadSlackM);
        for (const Point corner : {Point{pads.x_min, pads.y_min}, Point{pads.x_max, pads.y_min},
                                   Point{pads.x_min, pads.y_max}, Point{pads.x_max, pads.y_max}}) {
            box.add((*roof.to_canopy)(corner));
        }
    }
    return box;
}

Box obstacles_needed(const TileRoof& roof, const TerrainMetric& metric, const Settings& settings) {
    return roof_box(roof, metric, settings.siting.max_fill_m + obstacle_reach_m(settings));
}

}  // namespace eaveshed
