#include "eaveshed/site/place.hpp"

#include <algorithm>

#include "eaveshed/siting/garden.hpp"
#include "eaveshed/siting/pad_size.hpp"
#include "eaveshed/siting/site_terrain.hpp"
#include "eaveshed/terrain/slope.hpp"

namespace eaveshed {

namespace {

constexpr double kPadSlackM = 1.0;  // around what is reported of a pad: more than any rounding

// Cells of the four around a point.
CellRange cells_at(const Grid& grid, Point point) {
    return grid.cells_around({point.x, point.y, point.x, point.y});
}

Box roof_box(const TileRoof& roof, const TerrainMetric& metric, double reach_m) {
    const LocalFrame frame = metric.frame_at(roof.interior);
    return bounds(roof.outline).grown(reach_m / frame.metres_per_x, reach_m / frame.metres_per_y);
}

}  // namespace

double widest_pad_m(const Settings& settings) {
    double widest = 0.0;
    for (const TankOption& tank : settings.tanks) {
        widest = std::max(
            widest, pad_radius_m({.diameter_m = tank.diameter_m, .count = tank.count}, settings.siting.pad_margin_m));
    }
    return widest;
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
    row.ground_elev_m = ground->mid_m;
    row.eave_elev_m = eave.elev_m;
    return eave;
}

RoofCells roof_cells(const TileRoof& roof, const Grid& grid, const TerrainMetric& metric,
                     const SitingSettings& settings) {
    const CellSides sides = cell_sides(grid, metric, roof.interior);
    return {sides, slope_reach(settings.slope_window_m, sides.smaller_m()),
            garden_step_cells(settings.garden_step_m, sides.smaller_m())};
}

CellRange cells_in_reach(const TileRoof& roof, const Grid& grid, const TerrainMetric& metric,
                         const SitingSettings& settings) {
    return cells_within(grid, metric.frame_at(roof.interior), bounds(roof.outline),
                        std::max(settings.max_feed_m, settings.max_fill_m));
}

CellRange cells_around_roof(const TileRoof& roof, const Grid& grid, const TerrainMetric& metric,
                            const SitingSettings& settings) {
    return with_rim(cells_in_reach(roof, grid, metric, settings), roof_cells(roof, grid, metric, settings).slope_reach,
                    grid);
}

std::vector<CellRange> terrain_needed(const TileRoof& roof, const TileParcel* parcel, const Grid& grid,
                                      const TerrainMetric& metric, const SitingSettings& settings) {
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
    // A cell within reach of the roof may be as near to another footprint as to the roof itself: twice the reach.
    return roof_box(roof, metric,
                    std::max({2.0 * siting.max_feed_m, 2.0 * siting.max_fill_m,
                              siting.max_fill_m + siting.building_setback_m + widest_pad_m(settings)}));
}

double obstacle_reach_m(const Settings& settings) {
    double setback = settings.siting.stream_setback_m;
    for (const ExclusionSettings& exclusion : settings.exclusions) {
        setback = std::max(setback, exclusion.setback_m);
    }
    return setback + widest_pad_m(settings);
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
        const Box pads = roof_box(roof, metric, settings.siting.max_fill_m + widest_pad_m(settings) + kPadSlackM);
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
