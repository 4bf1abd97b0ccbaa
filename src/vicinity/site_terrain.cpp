#include "eaveshed/vicinity/site_terrain.hpp"

#include <cmath>

namespace eaveshed {

CellRange cells_within(const Grid& grid, const LocalFrame& frame, const Box& box, double reach_m) {
    return grid.cells_around(box.grown(reach_m / frame.metres_per_x, reach_m / frame.metres_per_y));
}

CellRange with_rim(const CellRange& range, std::int64_t rim, const Grid& grid) {
    return range.empty() ? range : range.grown(rim).common_with(grid.cells());
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
      m_patch(terrain.patch(with_rim(range, reach.rim(), terrain.grid()))) {
    const std::int64_t rows = metric.geographic ? m_patch.range.rows() : 1;
    for (std::int64_t row = 0; row < rows; ++row) {
        m_row_sides.push_back(cell_sides(m_grid, metric, m_grid.centre({m_patch.range.row_begin + row, 0})));
    }
}

bool SiteTerrain::widen(std::int64_t row, std::int64_t col_begin, std::int64_t col_end, double& low_m,
                        double& high_m) const {
    const CellRange& range = m_patch.range;
    if (row < range.row_begin || row >= range.row_end || col_begin < range.col_begin || col_end > range.col_end) {
        return false;
    }
    const double* const cells = m_patch.values.data() + (row - range.row_begin) * range.cols() - range.col_begin;
    double low = low_m;
    double high = high_m;
    double missing = 0.0;  // NaN once one is
    for (std::int64_t col = col_begin; col < col_end; ++col) {
        const double value = cells[col];
        low = value < low ? value : low;
        high = value > high ? value : high;
        missing += value - value;
    }
    low_m = low;
    high_m = high;
    return !std::isnan(missing);
}

ElevationRange SiteTerrain::elevations_m(const CellRange& range) const {
    const CellRange known = range.common_with(m_patch.range);
    ElevationRange found;
    for (std::int64_t row = known.row_begin; row < known.row_end; ++row) {
        for (std::int64_t col = known.col_begin; col < known.col_end; ++col) {
            found.add(m_patch.at(row, col));
        }
    }
    return found;
}

bool SiteTerrain::has_gaps() const {
    const CellRange& range = m_patch.range;
    if (range.row_begin == 0 || range.col_begin == 0 || range.row_end == m_grid.rows || range.col_end == m_grid.cols) {
        return true;  // it may have been cut there
    }
    double missing = 0.0;
    for (const double value : m_patch.values) {
        missing += value - value;
    }
    return std::isnan(missing);
}

double SiteTerrain::elev_between_m(const CellPosition& position) const {
    const double north = std::floor(position.row);
    const double west = std::floor(position.col);
    const double south_share = position.row - north;
    const double east_share = position.col - west;
    const auto row = static_cast<std::int64_t>(north);
    const auto col = static_cast<std::int64_t>(west);
    // Mostly all four are there.
    const CellRange& range = m_patch.range;
    if (row >= range.row_begin && row + 1 < range.row_end && col >= range.col_begin && col + 1 < range.col_end) {
        const double* const cell =
            m_patch.values.data() + (row - range.row_begin) * range.cols() + (col - range.col_begin);
        const double* const below = cell + range.cols();
        const double found = (1.0 - south_share) * (1.0 - east_share) * cell[0] +
                             (1.0 - south_share) * east_share * cell[1] + south_share * (1.0 - east_share) * below[0] +
                             south_share * east_share * below[1];
        if (!std::isnan(found)) {
            return found;
        }
    }
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
    if (cell.row < m_patch.range.row_begin || cell.row >= m_patch.range.row_end) {
        return std::nullopt;
    }
    const CellSides& sides = sides_of_row(cell.row);
    return horn_gradient(m_patch, cell.row, cell.col, m_reach.slope, sides.width_m, sides.height_m);
}

std::optional<double> SiteTerrain::slope(Cell cell) const {
    const auto found = gradient(cell);
    return found ? std::optional<double>(found->slope()) : std::nullopt;
}

void SiteTerrain::slopes(std::int64_t row, std::int64_t col_begin, std::span<double> out) const {
    const CellSides& sides = sides_of_row(row);
    horn_slopes(m_patch, row, col_begin, m_reach.slope, sides.width_m, sides.height_m, out);
}

}  // namespace eaveshed
