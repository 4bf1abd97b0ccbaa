// The place of one roof: ground and eave, and what of the world around it the rest of the computation asks for.
#pragma once

#include <optional>
#include <vector>

#include "eaveshed/record/tile_rows.hpp"
#include "eaveshed/roof/eave.hpp"
#include "eaveshed/site/rules.hpp"
#include "eaveshed/site/tile_input.hpp"
#include "eaveshed/vicinity/site_terrain.hpp"

namespace eaveshed {

// Fills ground and eave columns and their flags; none without any elevation at the roof.
[[nodiscard]] std::optional<Eave> evaluate_eave(const TileRoof& roof, const TileInput& tile, const TileRules& rules,
                                                RoofRows& result);

// Cells in the roof's own measure: the size of one at its interior point, and the steps that follow from it.
struct RoofCells {
    CellSides sides;
    TerrainReach reach;
    std::int64_t garden_step = 1;

    // What one cell of the garden's lattice stands for.
    [[nodiscard]] double garden_cell_m2() const {
        return sides.width_m * sides.height_m * static_cast<double>(garden_step * garden_step);
    }
};
[[nodiscard]] RoofCells roof_cells(const TileRoof& roof, const Grid& grid, const TerrainMetric& metric,
                                   const Settings& settings);

// The cells on which the garden and the middle of the pad may lie, and these with those that slopes and tanks need.
[[nodiscard]] CellRange cells_in_reach(const TileRoof& roof, const Grid& grid, const TerrainMetric& metric,
                                       const SitingSettings& settings);
[[nodiscard]] CellRange cells_around_roof(const TileRoof& roof, const Grid& grid, const TerrainMetric& metric,
                                          const Settings& settings);

// The terrain cells that a roof's row depends on: the caller loads them before the tile is evaluated.
[[nodiscard]] std::vector<CellRange> terrain_needed(const TileRoof& roof, const TileParcel* parcel, const Grid& grid,
                                                    const TerrainMetric& metric, const Settings& settings);

// Boxes in the terrain's CRS within which other footprints, and streams and exclusions, can matter to the roof.
[[nodiscard]] Box buildings_needed(const TileRoof& roof, const TerrainMetric& metric, const Settings& settings);
[[nodiscard]] Box obstacles_needed(const TileRoof& roof, const TerrainMetric& metric, const Settings& settings);

// The radius of the widest circle of ground that the catalogue can ask for, m.
[[nodiscard]] double widest_pad_m(const Settings& settings);
// The farthest from the middle of a pad that the ground of its tanks is looked at, m: half of the longest row, or the
// edge of the widest cluster. 0 for a catalogue of single tanks.
[[nodiscard]] double tank_reach_m(const Settings& settings);

// Of one cell's elevation: what the settings say, else what rasters of such cells are known for.
// method.md 6.15.
[[nodiscard]] double elevation_rmse_m(const CellSides& sides, const TerrainSettings& settings);

// Where the centre of a pad of this roof can be, in the terrain's CRS.
[[nodiscard]] Box pad_places(const TileRoof& roof, const TerrainMetric& metric, const Settings& settings);

// Box in the terrain's CRS within which a road can be the nearest to a pad.
[[nodiscard]] Box roads_needed(const TileRoof& roof, const TerrainMetric& metric, const Settings& settings);

// Box in the canopy's CRS that holds the ground of every pad of this roof, and the ring around it from which leaves
// fall into its gutters; empty without a way there.
[[nodiscard]] Box canopy_needed(const TileRoof& roof, const TerrainMetric& metric, const Settings& settings);

// The farthest that a stream or an exclusion can be from a pad's centre and still forbid it, m.
[[nodiscard]] double obstacle_reach_m(const Settings& settings);

}  // namespace eaveshed
