#include "eaveshed/siting/site_terrain.hpp"

#include <algorithm>
#include <cmath>

namespace eaveshed {

CellRange cells_within(const Grid& grid, const LocalFrame& frame, const Box& box, double reach_m) {
    return grid.cells_around(box.grown(reach_m / frame.metres_per_x, reach_m / frame.metres_per_y));
}

CellRange with_rim(const CellRange& range, std::int64_t rim, const Grid& grid) {
    if (range.empty()) {
        return range;
    }
    return {std::max<std::int64_t>(0, range.row_begin - rim), std::min(grid.rows, range.row_end + rim),
            std::max<std::int64_t>(0, range.col_begin - rim), std::min(grid.cols, range.col_end + rim)};
}

Cell CellPosition::holder() const {
    constexpr double kMillion = 1e6;
    const auto cell = [](double centred) {
        return static_cast<std::int64_t>(std::floor(std::floor((centred + 0.5) * kMillion + 0.5) / kMillion));
    };
    return {cell(row), cell(col)};
}

SiteTerrain::SiteTerrain(const SparseRaster& terrain, const TerrainMetric& metric, const LocalFrame& frame,
                         const CellRange& range, const TerrainReach& reach)
    : m_raster(&terrain),
      m_grid(terrain.grid()),
      m_metric(metric),
      m_frame(frame),
      m_reach(reach),
      m_sides{terrain.grid().cell_width * frame.metres_per_x, terrain.grid().cell_height * frame.metres_per_y},
      m_patch(terrain.patch(with_rim(range, reach.rim(), terrain.grid()))) {}

double SiteTerrain::elev_between_m(const CellPosition& position) const {
    const double north = std::floor(position.row);
    const double west = std::floor(position.col);
    const double south_share = position.row - north;
    const double east_share = position.col - west;
    const auto row = static_cast<std::int64_t>(north);
    const auto col = static_cast<std::int64_t>(west);
    return bilinear_value(
        {m_patch.at(row, col), m_patch.at(row, col + 1), m_patch.at(row + 1, col), m_patch.at(row + 1, col + 1)},
        {(1.0 - south_share) * (1.0 - east_share), (1.0 - south_share) * east_share, south_share * (1.0 - east_share),
         south_share * east_share});
}

Place SiteTerrain::place_beside(Cell cell, double east_m, double north_m) const {
    const Place from = centre(cell);
    return {{from.crs.x + east_m / m_frame.metres_per_x, from.crs.y + north_m / m_frame.metres_per_y},
            {from.metres.x + east_m, from.metres.y + north_m}};
}

std::optional<Gradient> SiteTerrain::gradient(Cell cell) const {
    const CellSides sides = cell_sides(m_grid, m_metric, m_grid.centre(cell));
    return horn_gradient(m_patch, cell.row, cell.col, m_reach.slope, sides.width_m, sides.height_m);
}

std::optional<double> SiteTerrain::slope(Cell cell) const {
    const auto found = gradient(cell);
    return found ? std::optional<double>(found->slope()) : std::nullopt;
}

void SiteTerrain::slopes(std::int64_t row, std::int64_t col_begin, std::span<double> out) const {
    const CellSides sides = cell_sides(m_grid, m_metric, m_grid.centre({row, col_begin}));
    horn_slopes(m_patch, row, col_begin, m_reach.slope, sides.width_m, sides.height_m, out);
}

}  // namespace eaveshed
