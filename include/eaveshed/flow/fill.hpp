// Depressions of the ground filled to the height at which water spills over.
#pragma once

#include <cstdint>

#include "eaveshed/flow/surface.hpp"

namespace eaveshed {

struct Filled {
    std::int64_t raised_cells = 0;
    double most_raised_m = 0.0;
};

// Raises each cell to the least height from which water gets, never rising, to an outlet (flow/surface.hpp); no cell is
// lowered, and filling again changes nothing. In place. An infinite elevation counts as a gap and becomes NaN. The
// result is one and does not depend on the order of work.
//
// Priority-flood (Barnes, Lehman and Mulla 2014, Priority-Flood: an optimal depression-filling and watershed-labeling
// algorithm for digital elevation models, Computers & Geosciences 62), with plain lists for the cells of a depression
// and for ground that only rises from where the flood stands (Zhou, Sun and Fu 2016, An efficient variant of the
// Priority-Flood algorithm for filling depressions in raster digital elevation models, Computers & Geosciences 90):
// only a cell beside lower ground not reached yet waits its turn. Turns only rise, so they wait in a radix heap (Ahuja,
// Mehlhorn, Orlin and Tarjan 1990, Faster algorithms for the shortest path problem, Journal of the ACM 37). From
// memory. Costs about 8 looks a cell; beside the elevations 1 byte a cell, and 8 (float) or 16 (double) for each that
// waits. method.md 7.14.
template <typename Number>
Filled fill_depressions(Surface<Number>& surface);

extern template Filled fill_depressions(Surface<float>& surface);
extern template Filled fill_depressions(Surface<double>& surface);

}  // namespace eaveshed
