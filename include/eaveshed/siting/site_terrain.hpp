// The terrain around one roof: elevations and slopes of the cells within reach, positions in local metres.
#pragma once

#include <cstdint>
#include <optional>
#include <span>

#include "eaveshed/core/raster.hpp"
#include "eaveshed/shape/local_frame.hpp"
#include "eaveshed/siting/surroundings.hpp"
#include "eaveshed/siting/terrain_metric.hpp"

namespace eaveshed {

// The cells of a grid within `reach_m` of a box in the terrain's CRS. `frame` gives the metres.
[[nodiscard]] CellRange cells_within(const Grid& grid, const LocalFrame& frame, const Box& box, double reach_m);

// The range with `rim` more cells on every side, cut to the grid.
[[nodiscard]] CellRange with_rim(const CellRange& range, std::int64_t rim, const Grid& grid);

class SiteTerrain {
public:
    // The cells of the range with the rim that their slopes need: these use the eight neighbours `slope_reach` cells
    // away (terrain/slope.hpp), with the cell's size at its own row's latitude. The terrain outlives this.
    SiteTerrain(const SparseRaster& terrain, const TerrainMetric& metric, const LocalFrame& frame,
                const CellRange& range, std::int64_t slope_reach);

    // Other cells of the same terrain.
    [[nodiscard]] SiteTerrain over(const CellRange& range) const {
        return {*m_raster, m_metric, m_frame, range, m_slope_reach};
    }

    [[nodiscard]] double elev_m(Cell cell) const { return m_patch.at(cell.row, cell.col); }  // NaN: missing
    [[nodiscard]] Place centre(Cell cell) const {
        const Point crs = m_grid.centre(cell);
        return {crs, m_frame.to_metres(crs)};
    }
    // Metre per metre; none when the cell or one of the eight is missing.
    [[nodiscard]] std::optional<double> slope(Cell cell) const;
    // The same of a run of cells of one row; NaN for none.
    void slopes(std::int64_t row, std::int64_t col_begin, std::span<double> out) const;

private:
    const SparseRaster* m_raster;
    Grid m_grid;
    TerrainMetric m_metric;
    LocalFrame m_frame;
    std::int64_t m_slope_reach;
    RasterPatch m_patch;
};

}  // namespace eaveshed
