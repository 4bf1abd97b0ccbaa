// The slope of the ground, by Horn's weights over a window as wide as the settings ask for.
#pragma once

#include <cmath>
#include <cstdint>
#include <optional>
#include <span>

#include "eaveshed/core/raster.hpp"

namespace eaveshed {

// Metres of rise per metre, positive where the ground rises towards the east and towards the north.
struct Gradient {
    double east = 0.0;
    double north = 0.0;

    // Rise over run in the steepest direction: 0.10 is 10 %.
    [[nodiscard]] double slope() const { return std::sqrt(east * east + north * north); }
};

// How many cells away the eight neighbours are taken, so that they span about the window: floor(window / (2 x side)),
// at least 1. One part in 1e9 is added before the floor: a 5 m window over cells of 0.5 m is 5 and not 4 when the side
// came out of a file as 0.50000000000001. Window >= 0, side > 0, in metres.
// method.md 6.1.
[[nodiscard]] std::int64_t slope_reach(double slope_window_m, double smaller_cell_side_m);

// Horn 1981 (Hill shading and the reflectance map, Proc. IEEE 69): differences over 2 k cells, the middle row or column
// weighted twice. Elevations in metres, rows running south; `k` >= 1, cell sides > 0 in metres on the ground (of a
// raster in degrees those of the row's own latitude). None when the cell itself or one of the eight is missing or
// outside the patch.
// method.md 6.1.
[[nodiscard]] std::optional<Gradient> horn_gradient(const RasterPatch& elevation_m, std::int64_t row, std::int64_t col,
                                                    std::int64_t k, double cell_width_m, double cell_height_m);

// The slopes of a run of cells of one row, from `col_begin`; NaN where horn_gradient gives none.
void horn_slopes(const RasterPatch& elevation_m, std::int64_t row, std::int64_t col_begin, std::int64_t k,
                 double cell_width_m, double cell_height_m, std::span<double> slopes);

}  // namespace eaveshed
