#include "eaveshed/tile/place.hpp"

#include <algorithm>
#include <cmath>

#include "eaveshed/siting/garden.hpp"
#include "eaveshed/siting/site_terrain.hpp"
#include "eaveshed/siting/surroundings.hpp"
#include "eaveshed/terrain/slope.hpp"

namespace eaveshed {

namespace {

constexpr double kPercent = 100.0;

struct Reach {
    CellSides sides;
    std::int64_t slope_cells = 1;
    std::int64_t garden_step_cells = 1;
};

Reach reach_of(const RoofInput& roof, const Grid& grid, const TerrainMetric& metric, const SitingSettings& settings) {
    const CellSides sides = cell_sides(grid, metric, roof.interior);
    return {sides, slope_reach(settings.slope_window_m, sides.smaller_m()),
            garden_step_cells(settings.garden_step_m, sides.smaller_m())};
}

CellRange garden_range(const RoofInput& roof, const Grid& grid, const TerrainMetric& metric, const Reach& reach,
                       const SitingSettings& settings) {
    return cells_within(grid, metric.frame_at(roof.interior), bounds(roof.outline), settings.max_feed_m,
                        reach.slope_cells);
}

std::vector<const Building*> buildings_near(const RoofInput& roof, const TileInput& tile,
                                            const SitingSettings& settings) {
    const Box box = buildings_needed(roof, tile.metric, settings);
    std::vector<const Building*> near;
    for (const Building& building : tile.buildings) {
        if (building.ordinal != roof.ordinal && bounds(building.outline).intersects(box)) {
            near.push_back(&building);
        }
    }
    return near;
}

const MultiPolygon* outline_of(const ParcelInput* parcel) {
    return parcel != nullptr && !parcel->outline.empty() ? &parcel->outline : nullptr;
}

std::optional<UsePointRow> given_use_point(const ParcelInput* parcel, const TileInput& tile) {
    if (parcel == nullptr || !parcel->use_point) {
        return std::nullopt;
    }
    const double elevation = tile.terrain.sample(*parcel->use_point);
    if (std::isnan(elevation)) {
        return std::nullopt;
    }
    UsePointRow row;
    row.place = *parcel->use_point;
    row.use_elev_m = elevation;
    return row;
}

std::optional<UsePointRow> assumed_use_point(const RoofInput& roof, const ParcelInput* parcel, const TileInput& tile,
                                             const SitingSettings& settings) {
    const Grid& grid = tile.terrain.grid();
    const LocalFrame frame = tile.metric.frame_at(roof.interior);
    const Reach reach = reach_of(roof, grid, tile.metric, settings);
    const SiteTerrain terrain(tile.terrain, tile.metric, frame, garden_range(roof, grid, tile.metric, reach, settings),
                              reach.slope_cells);
    const Surroundings surroundings(frame, roof.outline, outline_of(parcel), buildings_near(roof, tile, settings));
    const GardenRules garden{.max_feed_m = settings.max_feed_m,
                             .max_slope_pct = settings.garden_max_slope_pct,
                             .step_cells = reach.garden_step_cells};
    const auto cell = assumed_use_cell(garden_cells(terrain, surroundings, garden), terrain,
                                       frame.to_metres(roof.interior), settings.garden_percentile / kPercent);
    if (!cell) {
        return std::nullopt;
    }
    UsePointRow row;
    row.place = grid.centre(cell->cell);
    row.use_elev_m = cell->elev_m;
    row.assumed = true;
    return row;
}

// Cells of the four around a point.
CellRange cells_at(const Grid& grid, Point point) {
    return grid.cells_around({point.x, point.y, point.x, point.y});
}

}  // namespace

std::optional<Eave> evaluate_eave(const RoofInput& roof, const TileInput& tile, const TileRules& rules,
                                  RoofResult& result) {
    RoofRow& row = result.roof;
    const auto ground = roof.outline.empty() ? std::nullopt : ground_along(roof.outline, tile.terrain);
    if (!ground) {
        row.flags.add(Flag::no_elevation);
        return std::nullopt;
    }
    if (ground->gaps) {
        row.flags.add(Flag::dem_gap);
    }
    EaveData data{roof.eave_height_m, std::nullopt, roof.storeys};
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

void evaluate_window(const RoofInput& roof, const ParcelInput* parcel, const TileInput& tile, const TileRules& rules,
                     const Eave& eave, const StorageOption& storage, RoofResult& result) {
    const SitingSettings& settings = rules.settings->siting;
    result.use_point = given_use_point(parcel, tile);
    if (!result.use_point) {
        result.use_point = assumed_use_point(roof, parcel, tile, settings);
    }
    if (!result.use_point) {
        result.roof.delivery = Delivery::no_pad;
        result.roof.no_pad_reason = PadReason::no_use_point;
        return;
    }
    if (result.use_point->assumed) {
        result.roof.flags.add(Flag::assumed_use_point);
    }
    const double reserve = reserve_depth_m(rules.settings->storage.reserve_m3, storage.usable_m3, storage.tank.height_m,
                                           settings.outlet_height_m);
    const ElevationWindow window =
        elevation_window(eave.elev_m, *result.use_point->use_elev_m, storage.tank.height_m, reserve, rules.window);
    result.roof.window_low_elev_m = window.low_elev_m;
    result.roof.window_high_elev_m = window.high_elev_m;
}

std::vector<CellRange> terrain_needed(const RoofInput& roof, const ParcelInput* parcel, const Grid& grid,
                                      const TerrainMetric& metric, const SitingSettings& settings) {
    std::vector<CellRange> ranges;
    if (!roof.outline.empty()) {
        const Reach reach = reach_of(roof, grid, metric, settings);
        ranges.push_back(garden_range(roof, grid, metric, reach, settings));
    }
    if (parcel != nullptr && parcel->use_point) {
        ranges.push_back(cells_at(grid, *parcel->use_point));
    }
    return ranges;
}

Box buildings_needed(const RoofInput& roof, const TerrainMetric& metric, const SitingSettings& settings) {
    // A cell within reach of the roof may be as near to another footprint as to the roof itself: twice the reach.
    const double reach_m = 2.0 * std::max(settings.max_feed_m, settings.max_fill_m);
    const LocalFrame frame = metric.frame_at(roof.interior);
    return bounds(roof.outline).grown(reach_m / frame.metres_per_x, reach_m / frame.metres_per_y);
}

}  // namespace eaveshed
