// Lines of equal height over a small grid: marching squares (Lorensen and Cline 1987 in two dimensions; from memory).
#pragma once

#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/core/raster.hpp"
#include "eaveshed/shape/polygon.hpp"

namespace eaveshed {

struct Contour {
    double level = 0.0;
    Line line;            // in the grid's coordinates; a closed one ends where it began
    bool closed = false;  // an island or a hollow that lies wholly inside
};

// The contours of one level among the centres of the patch's cells, by straight lines between neighbouring centres
// (exact on a plane): a point lies above where its value >= level. Lines are as long as they can be; higher ground lies
// to their right. A square with a missing corner has none. In a saddle the mean of the four corners decides. The order
// is that of the squares, row by row, in which the lines begin.
[[nodiscard]] std::vector<Contour> contours(const Grid& grid, const RasterPatch& patch, double level);

// Of all multiples of `step` (> 0) between the least and the greatest value, the lowest level first.
[[nodiscard]] std::vector<Contour> all_contours(const Grid& grid, const RasterPatch& patch, double step);

}  // namespace eaveshed
