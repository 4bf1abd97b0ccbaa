#include "eaveshed/siting/site_terrain.hpp"

#include <algorithm>

#include "eaveshed/terrain/slope.hpp"

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

SiteTerrain::SiteTerrain(const SparseRaster& terrain, const TerrainMetric& metric, const LocalFrame& frame,
                         const CellRange& range, std::int64_t slope_reach)
    : m_raster(&terrain),
      m_grid(terrain.grid()),
      m_metric(metric),
      m_frame(frame),
      m_slope_reach(slope_reach),
      m_patch(terrain.patch(with_rim(range, slope_reach, terrain.grid()))) {}

std::optional<double> SiteTerrain::slope(Cell cell) const {
    const CellSides sides = cell_sides(m_grid, m_metric, m_grid.centre(cell));
    const auto gradient = horn_gradient(m_patch, cell.row, cell.col, m_slope_reach, sides.width_m, sides.height_m);
    return gradient ? std::optional<double>(gradient->slope()) : std::nullopt;
}

void SiteTerrain::slopes(std::int64_t row, std::int64_t col_begin, std::span<double> out) const {
    const CellSides sides = cell_sides(m_grid, m_metric, m_grid.centre({row, col_begin}));
    horn_slopes(m_patch, row, col_begin, m_slope_reach, sides.width_m, sides.height_m, out);
}

}  // namespace eaveshed
