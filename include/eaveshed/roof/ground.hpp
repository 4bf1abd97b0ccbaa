// The ground along a footprint's edge.
#pragma once

#include <optional>

#include "eaveshed/core/raster.hpp"
#include "eaveshed/shape/polygon.hpp"

namespace eaveshed {

// Elevations in m of the samples that are not missing.
struct Ground {
    double low_m = 0.0;
    double mid_m = 0.0;  // median
    double high_m = 0.0;
    bool gaps = false;  // some samples lie outside the raster or where all four cells are missing
};

// Samples the terrain bilinearly along the outer rings, at the start of steps no longer than half the smaller cell
// side. `outline` is in the terrain's CRS. None when no sample has an elevation.
// method.md 1.9.
[[nodiscard]] std::optional<Ground> ground_along(const MultiPolygon& outline, const SparseRaster& terrain);

}  // namespace eaveshed
