// Streams that the ground itself draws: cells that enough ground drains through, as reaches.
#pragma once

#include <cstdint>
#include <optional>
#include <utility>
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

// Where the water of a place comes to a stream.
struct StreamEntry {
    std::uint32_t reach = kNoReach;
    CellNumber cell = 0;      // of the reach
    double distance_m = 0.0;  // along the centres of the cells in between; 0 in the stream itself
};

// The ways down to the streams. Holds 8 bytes for each cell of a stream; the directions outlive it. Safe to query from
// several threads.
class WaysToStream {
public:
    WaysToStream(const FlowDirections& directions, const DerivedStreams& streams);

    // The first reach on the way down from a place in the CRS of the grid; none where the place is off the ground, or
    // its water leaves it without meeting one.
    // method.md 7.15.
    [[nodiscard]] std::optional<StreamEntry> entry_of(Point place) const;
    [[nodiscard]] std::optional<StreamEntry> entry_of(CellNumber cell) const;
    // The cells of that way, the first and that of the reach included; without a reach to the outlet.
    [[nodiscard]] std::vector<CellNumber> way_from(CellNumber cell) const;

    // The reach that each cell drains to first: kNoReach where it meets none, and for gaps. 4 bytes a cell; each cell
    // is passed once.
    [[nodiscard]] std::vector<std::uint32_t> catchments() const;

private:
    [[nodiscard]] std::uint32_t reach_at(CellNumber cell) const;

    const FlowDirections* m_directions;
    std::vector<std::pair<CellNumber, std::uint32_t>> m_channel;  // own cells of the reaches, by number
};

}  // namespace eaveshed
