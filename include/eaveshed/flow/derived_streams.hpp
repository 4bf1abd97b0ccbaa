// Streams that the ground itself draws: cells that enough ground drains through, as reaches.
#pragma once

#include <cstdint>
#include <vector>

#include "eaveshed/flow/accumulation.hpp"
#include "eaveshed/flow/directions.hpp"
#include "eaveshed/shape/polygon.hpp"
#include "eaveshed/stream/reach_tree.hpp"

namespace eaveshed {

// From a head or a confluence to the next confluence or the outlet. The cells at confluences are those of the reach
// that leaves there; where several meet at an outlet, of the one that drains most (ties: the first).
struct DerivedReach {
    std::vector<CellNumber> cells;  // from the upper end to the lower, two at least; each drains to the next
    std::size_t own = 0;            // so many of them, from the upper end, are the reach's own
    double length_m = 0.0;
    double area_m2 = 0.0;  // that drains through the lower end of the reach alone: above a confluence, not with it
};

struct DerivedStreams {
    std::vector<DerivedReach> reaches;  // by the number of their first cell: from the north, then from the west
    ReachTree tree;
};

// Channel cells are those that at least `stream_area_m2` (> 0) drains through; with a cell all cells below it are
// channel. A channel that would be a single cell, where the threshold is reached only at the outlet, is no line and is
// left out. Looks at every cell once.
// method.md 7.14.
[[nodiscard]] DerivedStreams derive_streams(const FlowDirections& directions, const Accumulation& accumulation,
                                            double stream_area_m2);

// Through the centres of the cells, in the CRS of the grid.
[[nodiscard]] Line line_of(const DerivedReach& reach, const Grid& grid);

}  // namespace eaveshed
