// What is told of a pad or a roof and changes no choice: how far the nearest road is and how much higher, how much of
// the ground lies under trees, and in how many months it freezes.
#pragma once

#include <optional>
#include <vector>

#include "eaveshed/record/pad_row.hpp"
#include "eaveshed/record/roof_row.hpp"
#include "eaveshed/settings/settings.hpp"
#include "eaveshed/site/tile_input.hpp"

namespace eaveshed {

struct NearestRoad {
    double distance_m = 0.0;  // horizontally
    Point place;              // on the road, in the lines' CRS
};

// The nearest place on any of the lines, at most `max_distance_m` away; of equally near ones the first in order.
// `frame` gives the metres.
// method.md 10.1.
[[nodiscard]] std::optional<NearestRoad> nearest_road(const BoxedLines& roads, Point place, const LocalFrame& frame,
                                                      double max_distance_m);

// The terrain cells from which the ground at the road nearest to a pad of the roof is interpolated, wherever the pad
// will stand: the caller loads them before the tile is evaluated. `roads`: those of the tile.
[[nodiscard]] std::vector<CellRange> road_ground_needed(const TileRoof& roof, const BoxedLines& roads, const Grid& grid,
                                                        const TerrainMetric& metric, const Settings& settings);

// A pad's ground: a circle around its centre.
struct PadCircle {
    Point centre;  // in the terrain's CRS
    double radius_m = 0.0;
};

// Share of the canopy raster's cells with centres in the circle that are taller than `height_m`; where there is none,
// the cell that holds the centre stands for the circle. Cells without a value are left out; none where no cell has one.
// `to_canopy` maps the terrain's CRS to the raster's.
// method.md 10.2.
[[nodiscard]] std::optional<double> canopy_share(const SparseRaster& canopy, const PlaneMap& to_canopy,
                                                 const LocalFrame& frame, const PadCircle& pad, double height_m);

// Share of the canopy raster's cells with centres outside the roof and at most `ring_m` from it that are taller than
// `height_m`. Cells without a value are left out; none where no cell has one.
// method.md 10.10.
[[nodiscard]] std::optional<double> leaves_share(const SparseRaster& canopy, const TileRoof& roof,
                                                 const LocalFrame& frame, double ring_m, double height_m);

// Fills leaves_share and freeze_months_count of a roof.
void fill_roof_notes(const TileRoof& roof, const TileInput& tile, const Settings& settings, RoofRow& row);

// Fills road_distance_m, road_climb_m and canopy_share of a pad of the roof whose place, elevation and radius are set.
void fill_pad_notes(const TileRoof& roof, const TileInput& tile, const Settings& settings, PadRow& pad);

}  // namespace eaveshed
