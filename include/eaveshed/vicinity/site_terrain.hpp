// The terrain around one roof: elevations and slopes of the cells within reach, positions in local metres.
#pragma once

#include <cstdint>
#include <limits>
#include <optional>
#include <span>
#include <vector>

#include "eaveshed/core/raster.hpp"
#include "eaveshed/shape/local_frame.hpp"
#include "eaveshed/terrain/slope.hpp"
#include "eaveshed/terrain/terrain_metric.hpp"
#include "eaveshed/vicinity/surroundings.hpp"

namespace eaveshed {

// The cells of a grid within `reach_m` of a box in the terrain's CRS. `frame` gives the metres.
[[nodiscard]] CellRange cells_within(const Grid& grid, const LocalFrame& frame, const Box& box, double reach_m);

// The range with `rim` more cells on every side, cut to the grid.
[[nodiscard]] CellRange with_rim(const CellRange& range, std::int64_t rim, const Grid& grid);

// A place between cells, in cells: whole numbers at their centres.
struct CellPosition {
    double row = 0.0;
    double col = 0.0;

    // The cell in which it lies: its distances from the grid's edges, rounded to millionths of a cell, cut to whole
    // ones. It may lie outside the grid.
    // method.md 6.26.
    [[nodiscard]] Cell holder() const;
};

// How far the cells that are asked for reach beyond those on which tanks can stand, in cells.
struct TerrainReach {
    std::int64_t slope = 1;  // the eight neighbours of a slope (terrain/slope.hpp)
    std::int64_t tanks = 0;  // tanks of a row and the ground that they are cut into

    [[nodiscard]] std::int64_t rim() const { return slope + tanks; }
};

// Lowest and highest; infinite the wrong way round while nothing was added.
struct ElevationRange {
    double low_m = std::numeric_limits<double>::infinity();
    double high_m = -std::numeric_limits<double>::infinity();

    // NaN leaves it as it is.
    void add(double elev_m) {
        low_m = elev_m < low_m ? elev_m : low_m;
        high_m = elev_m > high_m ? elev_m : high_m;
    }
};

class SiteTerrain {
public:
    // The cells of the range with the rim that their slopes and tanks need, with the cell's size at its own row's
    // latitude for slopes. The terrain outlives this.
    SiteTerrain(const SparseRaster& terrain, const TerrainMetric& metric, const LocalFrame& frame,
                const CellRange& range, const TerrainReach& reach);

    // Other cells of the same terrain.
    [[nodiscard]] SiteTerrain over(const CellRange& range) const {
        return {*m_raster, m_metric, m_frame, range, m_reach};
    }

    [[nodiscard]] double elev_m(Cell cell) const { return m_patch.at(cell.row, cell.col); }  // NaN: missing
    // Lowers and raises the bounds to the cells [col_begin, col_end) of a row; false where one of them is missing.
    bool widen(std::int64_t row, std::int64_t col_begin, std::int64_t col_end, double& low_m, double& high_m) const;
    // Of the cells of a range, as far as they can be asked for and are not missing.
    [[nodiscard]] ElevationRange elevations_m(const CellRange& range) const;
    // Whether any cell that can be asked for is missing, or outside the grid.
    [[nodiscard]] bool has_gaps() const;
    // Bilinear; missing cells drop out. NaN where all four are missing.
    [[nodiscard]] double elev_between_m(const CellPosition& position) const;
    [[nodiscard]] Place centre(Cell cell) const {
        const Point crs = m_grid.centre(cell);
        return {crs, m_frame.to_metres(crs)};
    }
    // So many metres from a cell's centre, in the roof's own measure.
    [[nodiscard]] CellPosition beside(Cell cell, double east_m, double north_m) const {
        return {static_cast<double>(cell.row) - north_m / m_sides.height_m,
                static_cast<double>(cell.col) + east_m / m_sides.width_m};
    }
    [[nodiscard]] Place place_beside(Cell cell, double east_m, double north_m) const;
    // Of a cell in the roof's own measure.
    [[nodiscard]] const CellSides& sides() const { return m_sides; }
    [[nodiscard]] const TerrainReach& reach() const { return m_reach; }
    // Metre per metre; none when the cell or one of the eight is missing.
    [[nodiscard]] std::optional<Gradient> gradient(Cell cell) const;
    [[nodiscard]] std::optional<double> slope(Cell cell) const;
    // The same of a run of cells of one row; NaN for none.
    void slopes(std::int64_t row, std::int64_t col_begin, std::span<double> out) const;

private:
    [[nodiscard]] const CellSides& sides_of_row(std::int64_t row) const {
        return m_row_sides[m_metric.geographic ? static_cast<std::size_t>(row - m_patch.range.row_begin) : 0];
    }

    const SparseRaster* m_raster;
    Grid m_grid;
    TerrainMetric m_metric;
    LocalFrame m_frame;
    TerrainReach m_reach;
    CellSides m_sides;
    std::vector<CellSides> m_row_sides;  // of the patch's rows, for slopes; one for all rows of a projected CRS
    RasterPatch m_patch;
};

}  // namespace eaveshed
