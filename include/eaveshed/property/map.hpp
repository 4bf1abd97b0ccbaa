// What a map of one property shows, in metres around its pad: everything that is drawn has one frame.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "eaveshed/core/raster.hpp"
#include "eaveshed/parcel/explain_parcel.hpp"
#include "eaveshed/shape/local_frame.hpp"
#include "eaveshed/site/tile_input.hpp"

namespace eaveshed {

// Elevations on a lattice, row 0 the northernmost, for contours and shading. NaN is missing.
struct ElevationLattice {
    Point north_west;  // of the first node, local metres
    double step_m = 1.0;
    std::size_t rows = 0;
    std::size_t cols = 0;
    std::vector<double> elev_m;  // rows x cols

    [[nodiscard]] double at(std::size_t row, std::size_t col) const { return elev_m[row * cols + col]; }
};

// A cell of the garden that the pad can serve: its middle, local metres, and its elevation.
struct GardenSpot {
    Point middle;
    double elev_m = 0.0;
};

// All coordinates are local metres: x to the east and y to the north of the elevation grid, from `frame.origin`, which
// is in the terrain's CRS.
struct PropertyMap {
    LocalFrame frame;
    Box extent;                        // what the lattice covers
    MultiPolygon parcel;               // empty without a usable outline
    std::vector<MultiPolygon> roofs;   // as ParcelExplanation::roofs; empty for those without an outline
    std::vector<MultiPolygon> others;  // other footprints within the extent
    std::vector<Line> streams;
    std::vector<MultiPolygon> exclusions;
    std::vector<Line> exclusion_lines;  // a point is a line of no length
    std::vector<Line> roads;
    std::optional<Point> pad;
    std::vector<Point> tanks;      // middle of each tank of a row, else of the one circle for all
    double tank_radius_m = 0.0;    // of the tanks' ground around each of these, margin included
    std::vector<Line> fill_lines;  // from each connected roof's nearest point to the pad
    std::optional<Point> use_point;
    std::vector<GardenSpot> garden;
    double garden_cell_m = 0.0;  // side of what a spot stands for
    ElevationLattice ground;
};

// How far around roofs, pad and use point a map reaches, and how far it follows a large parcel's outline beyond them.
inline constexpr double kMapRimM = 15.0;
inline constexpr double kMapParcelM = 120.0;
// Nodes of the lattice along its longer side, at most.
inline constexpr std::size_t kMapNodes = 160;

// The terrain that the map asks for. Empty for a parcel without any outline.
[[nodiscard]] CellRange map_ground_needed(const ParcelExplanation& parcel, const TileParcel& outline,
                                          const std::vector<TileRoof>& roofs, const TileInput& tile);

// That terrain is loaded. None for a parcel without any outline.
[[nodiscard]] std::optional<PropertyMap> property_map(const ParcelExplanation& parcel, const TileParcel& outline,
                                                      const std::vector<TileRoof>& roofs, const TileInput& tile);

}  // namespace eaveshed
