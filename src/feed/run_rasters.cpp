#include "eaveshed/feed/run_rasters.hpp"

#include <algorithm>

#include "eaveshed/site/place.hpp"

namespace eaveshed {

namespace {

std::optional<RasterSource> handle(const OpenInputs& inputs, const char* setting) {
    const auto source = inputs.raster_sources.find(setting);
    return source == inputs.raster_sources.end() ? std::nullopt : std::optional(source->second.another());
}

// Everything of a tile that any of its rasters can be asked about, in the terrain's CRS; empty without a place.
Box box_of(const PlannedTile& tile, const Plan& plan) {
    Box box;
    for (std::uint32_t i = 0; i < tile.count; ++i) {
        const PlannedSite& site = plan.sites[tile.first + i];
        for (std::uint32_t k = 0; k < site.count; ++k) {
            const std::uint32_t roof = plan.site_roofs[site.first + k];
            if (plan.roofs[roof].status == Status::ok) {
                box.add(plan.roof_boxes[roof]);
            }
        }
        if (site.parcel != kNone && plan.parcels[site.parcel].use_point) {
            box.add(*plan.parcels[site.parcel].use_point);
        }
    }
    return box;
}

// The farthest from a roof that a cell can matter to it, m: slopes and interpolation are left to the cells added below.
double reach_m(const Settings& settings, const Inputs& inputs) {
    const SitingSettings& siting = settings.siting;
    const double roads =
        inputs.layer("roads.source") != nullptr ? siting.max_fill_m + settings.roads.max_distance_m : 0.0;
    const double tanks = tank_reach_m(settings);
    const double pads = siting.max_fill_m + tanks + widest_pad_m(settings);
    return std::max({siting.max_feed_m + tanks, pads, roads}) + siting.slope_window_m;
}

// Metres around a box whose degrees are the shorter ones of its ends.
Box grown(const Box& box, const TerrainMetric& metric, double reach) {
    const LocalFrame low = metric.frame_at({box.x_min, box.y_min});
    const LocalFrame high = metric.frame_at({box.x_max, box.y_max});
    return box.grown(reach / std::min(low.metres_per_x, high.metres_per_x),
                     reach / std::min(low.metres_per_y, high.metres_per_y));
}

// With cells for what is interpolated, what slopes reach beyond a window, and the rounding of transformations.
CellRange cells_of(const Grid& grid, const Box& box) {
    constexpr double kMoreCells = 8.0;
    return grid.cells_around(box.grown(kMoreCells * grid.cell_width, kMoreCells * grid.cell_height));
}

}  // namespace

RunRasters::RunRasters(const OpenInputs& inputs, std::size_t cache_bytes)
    : cache(inputs.blocks),
      terrain(handle(inputs, "terrain.elevation").value()),
      surface(handle(inputs, "terrain.surface")),
      canopy(handle(inputs, "canopy.source")) {
    cache->limit_to(cache_bytes);
}

TileNeeds::TileNeeds(const RunRasters& rasters, const Settings& settings, const Inputs& inputs, const Plan& plan)
    : m_rasters(rasters) {
    const TerrainMetric metric = terrain_metric(inputs);
    const double reach = reach_m(settings, inputs);
    // Of a raster in its own CRS; without a way there nothing is announced.
    const auto beside = [&](const std::optional<RasterSource>& raster, const Box& box) {
        if (!raster) {
            return CellRange{};
        }
        const RasterInfo& info = raster->info();
        const Transform to(inputs.terrain().crs, info.crs, info.where);
        const auto there = to(box);
        return there ? cells_of(info.grid, *there) : CellRange{};
    };
    for (const PlannedTile& tile : plan.tiles) {
        const Box box = box_of(tile, plan);
        Needed& needed = m_tiles.emplace_back();
        if (!box.empty()) {
            const Box around = grown(box, metric, reach);
            needed = {cells_of(rasters.terrain.info().grid, around), beside(rasters.surface, box),
                      beside(rasters.canopy, around)};
        }
        rasters.cache->expect(blocks_of(needed));
    }
}

std::vector<BlockKey> TileNeeds::blocks_of(const Needed& needed) const {
    std::vector<BlockKey> keys = m_rasters.terrain.blocks_of(needed.terrain);
    const auto add = [&keys](const std::optional<RasterSource>& raster, const CellRange& range) {
        if (raster) {
            const std::vector<BlockKey> more = raster->blocks_of(range);
            keys.insert(keys.end(), more.begin(), more.end());
        }
    };
    add(m_rasters.surface, needed.surface);
    add(m_rasters.canopy, needed.canopy);
    return keys;
}

void TileNeeds::done(std::size_t tile) const {
    m_rasters.cache->done(blocks_of(m_tiles.at(tile)));
}

}  // namespace eaveshed
