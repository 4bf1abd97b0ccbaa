#include "eaveshed/siting/terrain_metric.hpp"

namespace eaveshed {

LocalFrame TerrainMetric::frame_at(Point origin) const {
    if (!geographic) {
        return {origin, metres_per_unit, metres_per_unit};
    }
    const MetresPerDegree metres = metres_per_degree(origin.y, ellipsoid);
    return {origin, metres.east, metres.north};
}

CellSides cell_sides(const Grid& grid, const TerrainMetric& metric, Point place) {
    const LocalFrame frame = metric.frame_at(place);
    return {grid.cell_width * frame.metres_per_x, grid.cell_height * frame.metres_per_y};
}

}  // namespace eaveshed
