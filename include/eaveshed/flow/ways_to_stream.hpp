// The ways down the ground to streams, whether the ground drew them or somebody did.
#pragma once

#include <cstdint>
#include <memory_resource>
#include <optional>
#include <vector>

#include "eaveshed/flow/derived_streams.hpp"
#include "eaveshed/flow/directions.hpp"
#include "eaveshed/shape/polygon.hpp"
#include "eaveshed/stream/reach_tree.hpp"

namespace eaveshed {

// A cell of a stream, and the reach whose water it is.
struct ChannelCell {
    CellNumber cell = 0;
    std::uint32_t reach = kNoReach;
    friend bool operator==(const ChannelCell&, const ChannelCell&) = default;
};

// The own cells of derived reaches.
[[nodiscard]] std::vector<ChannelCell> channel_of(const DerivedStreams& streams);

// The cells that lines pass through: from cell to cell over sides, never over a corner, so that no way between
// neighbouring cells crosses a line without meeting it. Lines in the CRS of the grid, one a reach of the tree; what
// lies off the grid is left out. Of several reaches in a cell the one farthest downstream has it: the last in
// ReachTree::upstream_first. By cell; costs about the cells passed.
// method.md 7.15.
[[nodiscard]] std::vector<ChannelCell> channel_of(const std::vector<Line>& lines, const ReachTree& tree,
                                                  const Grid& grid);

// Where the water of a place comes to a stream.
struct StreamEntry {
    std::uint32_t reach = kNoReach;
    CellNumber cell = 0;      // of the reach
    double distance_m = 0.0;  // along the centres of the cells in between; 0 in the stream itself
};

// Immutable; safe to query from several threads. 1 byte a cell, and 8 for each cell of a stream.
class WaysToStream {
public:
    // A cell stands once among `channel`; one that is a gap of the ground is left out.
    WaysToStream(FlowDirections directions, std::vector<ChannelCell> channel);

    [[nodiscard]] const Grid& grid() const { return m_directions.grid; }

    // The first reach on the way down from a place in the CRS of the grid; none where the place is off the ground, or
    // its water leaves it without meeting one.
    // method.md 7.15.
    [[nodiscard]] std::optional<StreamEntry> entry_of(Point place) const;
    [[nodiscard]] std::optional<StreamEntry> entry_of(CellNumber cell) const;

    // The reach that each cell drains to first: kNoReach where it meets none, and for gaps. 4 bytes a cell; each cell
    // is passed once.
    [[nodiscard]] std::pmr::vector<std::uint32_t> catchments() const;

private:
    [[nodiscard]] bool in_channel(CellNumber cell) const;
    [[nodiscard]] std::uint32_t reach_at(CellNumber cell) const;

    FlowDirections m_directions;         // with a mark on the cells of streams: a way ends there
    std::vector<ChannelCell> m_channel;  // by number
};

}  // namespace eaveshed
