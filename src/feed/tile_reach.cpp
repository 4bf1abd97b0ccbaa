#include "eaveshed/feed/tile_reach.hpp"

#include <algorithm>

#include "eaveshed/site/place.hpp"

namespace eaveshed {

namespace {

// More than the sum of all distances that site/place.hpp asks for; twice the reach of pads is among them.
double reach_m(const Settings& settings) {
    constexpr double kSlackM = 100.0;
    const SitingSettings& siting = settings.siting;
    const double tanks = tank_reach_m(settings) + widest_pad_m(settings);
    return 3.0 * (siting.max_fill_m + siting.max_feed_m + tanks) + siting.building_setback_m +
           obstacle_reach_m(settings) + settings.roads.max_distance_m + kSlackM;
}

Box box_of(const Plan& plan, const PlannedTile& tile, double& computed) {
    Box box;
    for (std::uint32_t i = 0; i < tile.count; ++i) {
        const PlannedSite& site = plan.sites[tile.first + i];
        for (std::uint32_t k = 0; k < site.count; ++k) {
            const std::uint32_t roof = plan.site_roofs[site.first + k];
            if (plan.roofs[roof].status == Status::ok) {
                box.add(plan.roof_boxes[roof]);
                computed += 1.0;
            }
        }
    }
    return box;
}

}  // namespace

TileReach tile_reach(const Settings& settings, const Inputs& inputs, const Plan& plan) {
    Box all;
    for (const Box& box : plan.roof_boxes) {
        all.add(box);
    }
    if (all.empty()) {
        return {};
    }
    const TerrainMetric metric = terrain_metric(inputs);
    const LocalFrame low = metric.frame_at({all.x_min, all.y_min});
    const LocalFrame high = metric.frame_at({all.x_max, all.y_max});
    return {reach_m(settings) / std::min(low.metres_per_x, high.metres_per_x),
            reach_m(settings) / std::min(low.metres_per_y, high.metres_per_y)};
}

std::vector<TileLoad> tile_loads(const Settings& settings, const Inputs& inputs, const Plan& plan) {
    constexpr double kOfReach = 0.25;  // what the rasters are asked for lies nearer than neighbours
    const TileReach reach = tile_reach(settings, inputs, plan);
    const Grid& grid = inputs.terrain().grid;
    std::vector<TileLoad> loads;
    loads.reserve(plan.tiles.size());
    for (const PlannedTile& tile : plan.tiles) {
        TileLoad& load = loads.emplace_back();
        const Box box = box_of(plan, tile, load.computed_roofs);
        if (!box.empty()) {
            const CellRange cells = grid.cells_around(box.grown(kOfReach * reach.x, kOfReach * reach.y));
            load.cells = static_cast<double>(cells.rows()) * static_cast<double>(cells.cols());
        }
    }
    return loads;
}

}  // namespace eaveshed
