// The lie of the land under a map, read as coarsely as the map can show it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/core/raster.hpp"
#include "eaveshed/crs/crs.hpp"
#include "eaveshed/drawing/hillshade.hpp"
#include "eaveshed/drawing/map_frame.hpp"
#include "eaveshed/settings/settings.hpp"

namespace eaveshed {

// Elevations over a part of their raster: each cell the mean of a square of the raster's own. For contours and sections
// too: at a cell as fine as the raster's own they are its values.
struct Relief {
    Crs crs;
    Grid grid;
    RasterPatch elevation_m;
    double cell_width_m = 1.0;
    double cell_height_m = 1.0;
};

// The lengths of a CRS's units at a place: UnitLengths of a map around it.
[[nodiscard]] UnitLengths unit_lengths(const Crs& crs, Point place);

// `terrain`: with paths resolved. `box`: what is wanted, in `crs`. `cell_m`: about how large the cells may be; those of
// the raster where they are larger. None where nothing of the box lies in the raster, or where more than kMostCells of
// its cells would have to be read. Input errors of files that are not there or not understood.
inline constexpr double kMostReliefCells = 4e8;
[[nodiscard]] std::optional<Relief> read_relief(const TerrainSettings& terrain, const Crs& crs, const Box& box,
                                                double cell_m, Findings& findings);

// Shades for the whole window of a map in `crs`, `per_mm` pixels a millimetre.
[[nodiscard]] GreyImage relief_picture(const Relief& relief, const MapFrame& frame, const Crs& crs, double per_mm);

}  // namespace eaveshed
