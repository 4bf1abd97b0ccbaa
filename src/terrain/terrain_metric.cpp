#include "eaveshed/terrain/terrain_metric.hpp"

#include <cmath>

namespace eaveshed {

LocalFrame TerrainMetric::frame_at(Point origin) const {
    if (!geographic) {
        return {origin, metres_per_unit, metres_per_unit};
    }
    const MetresPerDegree metres = metres_per_degree(origin.y, ellipsoid);
    return {origin, metres.east, metres.north};
}

LocalFrame TerrainMetric::common_frame_at(Point place) const {
    constexpr double kStep = 1024.0;
    LocalFrame frame = frame_at(place);
    if (!geographic) {
        frame.origin = {std::floor(place.x / kStep) * kStep, std::floor(place.y / kStep) * kStep};
    }
    return frame;
}

double TerrainMetric::half_turned(double bearing_deg) const {
    constexpr double kHalfTurnDeg = 180.0;
    constexpr double kMillion = 1e6;
    if (turn_deg == 0.0) {
        return bearing_deg;
    }
    const double rounded = std::round(bearing_deg * kMillion) / kMillion;
    const double within = std::fmod(rounded, kHalfTurnDeg);
    return within < 0.0 ? within + kHalfTurnDeg : within;
}

CellSides cell_sides(const Grid& grid, const TerrainMetric& metric, Point place) {
    const LocalFrame frame = metric.frame_at(place);
    return {grid.cell_width * frame.metres_per_x, grid.cell_height * frame.metres_per_y};
}

}  // namespace eaveshed
