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
// algorithm for digital elevation models, Computers & Geosciences 62). A plain list holds the cells of a depression, as
// there, and another the ground that only rises from where the flood stands (an idea of Zhou, Sun and Fu 2016, An
// efficient variant of the Priority-Flood algorithm for filling depressions in raster digital elevation models,
// Computers & Geosciences 90); such ground is climbed to its end before anything is flooded, so that only cells around
// a depression wait their turn. Turns only rise: they wait in a radix heap (Ahuja, Mehlhorn, Orlin and Tarjan 1990,
// Faster algorithms for the shortest path problem, Journal of the ACM 37). From memory.
//
// Linear in the cells, but for at most as many moves of a waiting cell as its height has bits. Memory while it works:
// the elevations once more, and 8 bytes (16 in double precision) for each cell that is being climbed from or waits: on
// rough ground half as much again.
// method.md 7.14.
template <typename Number>
Filled fill_depressions(Surface<Number>& surface);

extern template Filled fill_depressions(Surface<float>& surface);
extern template Filled fill_depressions(Surface<double>& surface);

}  // namespace eaveshed
