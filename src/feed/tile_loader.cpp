#include "eaveshed/feed/tile_loader.hpp"

#include <algorithm>
#include <unordered_map>
#include <utility>
#include <variant>

#include "eaveshed/feed/station_network.hpp"
#include "eaveshed/site/pad_notes.hpp"
#include "eaveshed/site/place.hpp"
#include "eaveshed/site/take.hpp"

namespace eaveshed {

struct TileLoader::Impl {
    Impl(const Project& project_, const Inputs& inputs_, const Plan& plan_, const BasinClimate& basin_,
         const RunRasters& rasters);

    TileRoof roof(std::uint32_t ordinal) const;
    TileParcel parcel(std::uint32_t position, const std::vector<TileRoof>& roofs) const;
    TileSite site(const PlannedSite& planned) const;
    void load_rasters(TileInput& tile);
    using NeededBox = Box (*)(const TileRoof&, const TerrainMetric&, const Settings&);
    std::vector<std::uint32_t> found_near(const TileInput& tile, const BoxIndex& index, NeededBox needed);
    void load_buildings(TileInput& tile);
    void load_obstacles(TileInput& tile);
    void load_roads(TileInput& tile);
    std::optional<PlaneMap> canopy_map(Point interior) const;

    const Settings& settings;
    const Inputs& inputs;
    const Plan& plan;
    const BasinClimate& basin;
    std::unique_ptr<TileRain> rain;
    RasterSource terrain;
    std::optional<RasterSource> surface;
    std::optional<RasterSource> canopy;
    Transform to_terrain;
    std::optional<Transform> terrain_to_canopy;
    std::optional<Transform> to_surface;
    std::optional<Transform> parcels_to_terrain;
    std::optional<GridDoor> to_rain;
    std::optional<StationDoor> rain_stations;
    std::optional<StationDoor> temperature_stations;
    std::optional<GridDoor> to_et0;
    std::optional<GridDoor> to_minimum;
    std::optional<GridDoor> to_maximum;
    TerrainMetric metric;
    std::vector<bool> found;  // by position in an index; all false between two searches
};

TileLoader::Impl::Impl(const Project& project_, const Inputs& inputs_, const Plan& plan_, const BasinClimate& basin_,
                       const RunRasters& rasters)
    : settings(project_.resolved),
      inputs(inputs_),
      plan(plan_),
      basin(basin_),
      rain(tile_rain(basin)),
      terrain(rasters.terrain.another()),
      to_terrain(inputs.footprints().info.crs, inputs.terrain().crs, inputs.terrain().where),
      metric(terrain_metric(inputs)) {
    const Crs& from = inputs.footprints().info.crs;
    if (basin.rain_stations) {
        rain_stations.emplace(from, *basin.rain_stations);
    } else {
        to_rain.emplace(from, inputs.rain->crs, basin.rain_grid, inputs.rain->where);
    }
    if (basin.temperature_stations) {
        temperature_stations.emplace(from, *basin.temperature_stations);
    }
    if (const RasterInfo* const info = inputs.raster("terrain.surface")) {
        surface = rasters.surface.value().another();
        to_surface.emplace(from, info->crs, info->where);
    }
    if (const RasterInfo* const info = inputs.raster("canopy.source")) {
        canopy = rasters.canopy.value().another();
        terrain_to_canopy.emplace(inputs.terrain().crs, info->crs, info->where);
    }
    if (const Layer* const parcels = inputs.layer("parcels.source")) {
        parcels_to_terrain.emplace(parcels->info.crs, inputs.terrain().crs, parcels->info.where);
    }
    // Into the fields as they were read: their grids may begin at another meridian than the files.
    const auto door = [&](const char* setting, const StepField& field, std::optional<GridDoor>& to) {
        const MonthField& file = *inputs.month_field(setting);
        to.emplace(from, file.crs, field.grid, file.where);
    };
    if (const auto* const field = std::get_if<Et0Field>(basin.et0.get())) {
        door("evapotranspiration.source", field->mm_day, to_et0);
    } else if (const auto* const fields = std::get_if<TemperatureFields>(basin.et0.get())) {
        door("temperature.maximum", fields->maximum_c, to_maximum);
    }
    if (basin.minimum_c) {
        door("temperature.minimum", *basin.minimum_c, to_minimum);
    }
}

// The transformation about a roof; over the reach of its pads it is as good as linear.
std::optional<PlaneMap> TileLoader::Impl::canopy_map(Point interior) const {
    if (!terrain_to_canopy) {
        return std::nullopt;
    }
    constexpr double kSideM = 100.0;
    const LocalFrame frame = metric.frame_at(interior);
    const double dx = kSideM / frame.metres_per_x;
    const double dy = kSideM / frame.metres_per_y;
    const auto to = (*terrain_to_canopy)(interior);
    const auto east = (*terrain_to_canopy)(Point{interior.x + dx, interior.y});
    const auto north = (*terrain_to_canopy)(Point{interior.x, interior.y + dy});
    if (!to || !east || !north) {
        return std::nullopt;
    }
    return plane_map({interior, dx, dy, *to, *east, *north});
}

TileRoof TileLoader::Impl::roof(std::uint32_t ordinal) const {
    const PlannedRoof& planned = plan.roofs[ordinal];
    FootprintRecord record = plan.footprint(ordinal);
    TileRoof roof;
    roof.ordinal = ordinal;
    roof.status = planned.status;
    roof.flags = planned.flags;
    roof.plan_area_m2 = record.plan_area_m2;
    if (planned.status != Status::ok) {
        return roof;
    }
    roof.facts = std::move(record.facts);
    roof.latitude_deg = record.latitude_deg;
    const auto outline = to_terrain(record.outline);
    const auto interior = to_terrain(record.interior);
    if (outline && interior) {
        roof.outline = *outline;
        roof.interior = *interior;
        roof.to_canopy = canopy_map(*interior);
    }
    if (to_surface) {
        roof.surface_outline = (*to_surface)(record.outline).value_or(MultiPolygon{});
    }
    const auto through = [&](const std::optional<GridDoor>& door) {
        return door ? (*door)(record.interior) : std::nullopt;
    };
    const auto stations = [&](const std::optional<StationDoor>& door) {
        return door ? (*door)(record.interior) : std::vector<StationUse>{};
    };
    roof.climate_place = {.rain = through(to_rain),
                          .et0 = through(to_et0),
                          .minimum_temperature = through(to_minimum),
                          .maximum_temperature = through(to_maximum),
                          .rain_stations = stations(rain_stations),
                          .temperature_stations = stations(temperature_stations)};
    return roof;
}

TileParcel TileLoader::Impl::parcel(std::uint32_t position, const std::vector<TileRoof>& roofs) const {
    ParcelRecord record = plan.parcel(position);
    TileParcel parcel;
    parcel.ordinal = position;
    parcel.outline = (*parcels_to_terrain)(record.outline).value_or(MultiPolygon{});
    parcel.facts = std::move(record.facts);
    parcel.open_ground_m2 = open_ground_m2(record.area_m2, roofs);
    if (const auto& use_point = plan.parcels[position].use_point) {
        parcel.facts.set_use_point(*use_point);
    }
    return parcel;
}

TileSite TileLoader::Impl::site(const PlannedSite& planned) const {
    TileSite site;
    for (std::uint32_t i = 0; i < planned.count; ++i) {
        site.roofs.push_back(roof(plan.site_roofs[planned.first + i]));
    }
    if (planned.parcel != kNone) {
        site.parcel = parcel(planned.parcel, site.roofs);
    }
    return site;
}

void TileLoader::Impl::load_rasters(TileInput& tile) {
    for (const TileSite& site : tile.sites) {
        const TileParcel* const parcel = site.parcel ? &*site.parcel : nullptr;
        for (const TileRoof& roof : site.roofs) {
            if (roof.status != Status::ok) {
                continue;
            }
            for (const CellRange& range : terrain_needed(roof, parcel, tile.terrain.grid(), tile.metric, settings)) {
                terrain.load(tile.terrain, range);
            }
            if (tile.surface && !roof.surface_outline.empty()) {
                surface->load(*tile.surface, tile.surface->grid().cells_around(bounds(roof.surface_outline)));
            }
            if (tile.canopy) {
                canopy->load(*tile.canopy,
                             tile.canopy->grid().cells_around(canopy_needed(roof, tile.metric, settings)));
            }
        }
    }
}

// Positions in the index that some computed roof of the tile needs, ascending. `needed` gives a roof's box.
std::vector<std::uint32_t> TileLoader::Impl::found_near(const TileInput& tile, const BoxIndex& index,
                                                        NeededBox needed) {
    std::vector<std::uint32_t> near;
    for (const TileSite& site : tile.sites) {
        for (const TileRoof& roof : site.roofs) {
            if (roof.status == Status::ok && !roof.outline.empty()) {
                index.visit(needed(roof, tile.metric, settings), [&](std::uint32_t position) {
                    found.resize(std::max<std::size_t>(found.size(), position + 1));
                    if (!found[position]) {  // neighbours mostly need the same
                        found[position] = true;
                        near.push_back(position);
                    }
                });
            }
        }
    }
    for (const std::uint32_t position : near) {
        found[position] = false;
    }
    std::ranges::sort(near);
    return near;
}

void TileLoader::Impl::load_buildings(TileInput& tile) {
    // Most buildings near a tile's roofs are its roofs.
    std::unordered_map<std::uint64_t, const MultiPolygon*> own;
    for (const TileSite& site : tile.sites) {
        for (const TileRoof& roof : site.roofs) {
            if (!roof.outline.empty()) {
                own.emplace(roof.ordinal, &roof.outline);
            }
        }
    }
    for (const std::uint32_t ordinal : found_near(tile, plan.roof_index, buildings_needed)) {
        const auto here = own.find(ordinal);
        auto outline = here != own.end() ? std::optional(*here->second) : to_terrain(plan.footprint(ordinal).outline);
        if (outline) {
            const Box box = bounds(*outline);
            tile.buildings.push_back({ordinal, std::move(*outline), box});
        }
    }
    std::vector<Box> boxes;
    boxes.reserve(tile.buildings.size());
    for (const Building& building : tile.buildings) {
        boxes.push_back(building.bounds());
    }
    tile.building_index = BoxIndex(boxes);
}

void TileLoader::Impl::load_obstacles(TileInput& tile) {
    for (const std::uint32_t position : found_near(tile, plan.obstacle_index, obstacles_needed)) {
        ObstacleRecord record = plan.obstacle(position);
        Obstacle obstacle;
        obstacle.layer = record.layer;
        obstacle.setback_m =
            record.layer == 0 ? settings.siting.stream_setback_m : settings.exclusions.at(record.layer - 1).setback_m;
        obstacle.line = std::move(record.line);
        obstacle.area = std::move(record.area);
        obstacle.box = bounds(obstacle);
        tile.obstacles.push_back(std::move(obstacle));
    }
}

// The roads, and the ground at whatever place of them may be the nearest to a pad.
void TileLoader::Impl::load_roads(TileInput& tile) {
    std::vector<Line> roads;
    for (const std::uint32_t position : found_near(tile, plan.road_index, roads_needed)) {
        roads.push_back(plan.road(position));
    }
    tile.roads = LineRuns(std::move(roads));
    for (const TileSite& site : tile.sites) {
        for (const TileRoof& roof : site.roofs) {
            for (const CellRange& range :
                 road_ground_needed(roof, tile.roads, tile.terrain.grid(), tile.metric, settings)) {
                terrain.load(tile.terrain, range);
            }
        }
    }
}

TileLoader::TileLoader(const Project& project, const Inputs& inputs, const Plan& plan, const BasinClimate& climate,
                       const RunRasters& rasters)
    : m_impl(std::make_unique<Impl>(project, inputs, plan, climate, rasters)) {}

TileLoader::~TileLoader() = default;

TileInput TileLoader::load(const PlannedTile& planned) {
    std::vector<TileSite> sites;
    for (std::uint32_t i = 0; i < planned.count; ++i) {
        sites.push_back(m_impl->site(m_impl->plan.sites[planned.first + i]));
    }
    TileInput tile({m_impl->basin.record, m_impl->rain->around(sites), m_impl->basin.et0, m_impl->basin.minimum_c,
                    m_impl->basin.station_temperatures});
    tile.sites = std::move(sites);
    tile.metric = m_impl->metric;
    tile.terrain = SparseRaster(m_impl->terrain.info().grid);
    tile.terrain_step_m = m_impl->terrain.info().value_step;
    if (m_impl->surface) {
        tile.surface.emplace(m_impl->surface->info().grid);
    }
    if (m_impl->canopy) {
        tile.canopy.emplace(m_impl->canopy->info().grid);
    }
    m_impl->load_rasters(tile);
    m_impl->load_buildings(tile);
    m_impl->load_obstacles(tile);
    m_impl->load_roads(tile);
    return tile;
}

}  // namespace eaveshed
