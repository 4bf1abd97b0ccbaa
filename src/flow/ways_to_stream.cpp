#include "eaveshed/flow/ways_to_stream.hpp"

#include <algorithm>
#include <cmath>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

namespace {

// Beside the ways of a cell (kWays, kFlowsOut): the cell is a stream's.
constexpr std::uint8_t kChannelMark = 0x10;

// Walks straight edges from cell to cell (Amanatides and Woo 1987, A fast voxel traversal algorithm for ray tracing,
// Eurographics 87; from memory).
class LineCells {
public:
    LineCells(const Grid& grid, std::uint32_t reach, std::vector<ChannelCell>& cells)
        : m_grid(grid), m_reach(reach), m_cells(cells) {}

    void walk(Point edge_from, Point edge_to) {
        Point from{position_x(edge_from), position_y(edge_from)};
        Point to{position_x(edge_to), position_y(edge_to)};
        if (!cut_to_grid(from, to)) {
            return;
        }
        Axis col = axis(from.x, to.x);
        Axis row = axis(from.y, to.y);
        add(row.cell, col.cell);
        while (col.left > 0 || row.left > 0) {
            Axis& next = row.left == 0 || (col.left > 0 && col.until <= row.until) ? col : row;
            next.cell += next.step;
            next.until += next.each;
            --next.left;
            add(row.cell, col.cell);
        }
    }

private:
    // One coordinate of the walk, in cells.
    struct Axis {
        std::int64_t cell = 0;
        std::int64_t step = 1;
        std::int64_t left = 0;  // sides still to be crossed
        double until = 0.0;     // share of the edge up to the next side
        double each = 0.0;      // from side to side
    };
    [[nodiscard]] static Axis axis(double from, double to) {
        Axis of;
        of.cell = static_cast<std::int64_t>(std::floor(from));
        const auto last = static_cast<std::int64_t>(std::floor(to));
        of.left = std::abs(last - of.cell);
        of.step = last >= of.cell ? 1 : -1;
        if (of.left > 0) {
            const auto side = static_cast<double>(of.step > 0 ? of.cell + 1 : of.cell);
            of.each = 1.0 / std::abs(to - from);
            of.until = std::abs(side - from) * of.each;
        }
        return of;
    }
    // To what lies in the grid and the cells around it, so that what is far away costs nothing. False where nothing
    // does.
    [[nodiscard]] bool cut_to_grid(Point& from, Point& to) const {
        double begin = 0.0;
        double end = 1.0;
        const auto cut = [&](double a, double b, std::int64_t cells) {
            const double high = static_cast<double>(cells) + 1.0;
            if (a == b) {
                return a >= -1.0 && a <= high;
            }
            const double at_low = (-1.0 - a) / (b - a);
            const double at_high = (high - a) / (b - a);
            begin = std::max(begin, std::min(at_low, at_high));
            end = std::min(end, std::max(at_low, at_high));
            return begin <= end;
        };
        if (!cut(from.x, to.x, m_grid.cols) || !cut(from.y, to.y, m_grid.rows)) {
            return false;
        }
        const auto at = [from, to](double share) {
            return Point{from.x + share * (to.x - from.x), from.y + share * (to.y - from.y)};
        };
        const Point last = end < 1.0 ? at(end) : to;
        from = begin > 0.0 ? at(begin) : from;
        to = last;
        return true;
    }
    [[nodiscard]] double position_x(Point place) const { return m_grid.col_position(place.x) + 0.5; }
    [[nodiscard]] double position_y(Point place) const { return m_grid.row_position(place.y) + 0.5; }
    void add(std::int64_t row, std::int64_t col) {
        if (m_grid.holds(Cell{row, col})) {
            m_cells.push_back({static_cast<CellNumber>(row * m_grid.cols + col), m_reach});
        }
    }

    const Grid& m_grid;
    std::uint32_t m_reach;
    std::vector<ChannelCell>& m_cells;
};

}  // namespace

std::vector<ChannelCell> channel_of(const DerivedStreams& streams) {
    std::vector<ChannelCell> channel;
    for (std::uint32_t i = 0; i < streams.reaches.size(); ++i) {
        const DerivedReach& reach = streams.reaches[i];
        for (std::size_t k = 0; k < reach.own; ++k) {
            channel.push_back({reach.cells[k], i});
        }
    }
    std::ranges::sort(channel, {}, &ChannelCell::cell);
    return channel;
}

std::vector<ChannelCell> channel_of(const std::vector<Line>& lines, const ReachTree& tree, const Grid& grid) {
    if (lines.size() != tree.size()) {
        internal_error("a tree of other reaches than the lines");
    }
    std::vector<std::uint32_t> turn(tree.size());
    for (std::uint32_t i = 0; i < tree.size(); ++i) {
        turn[tree.upstream_first()[i]] = i;
    }
    std::vector<ChannelCell> channel;
    for (std::uint32_t reach = 0; reach < lines.size(); ++reach) {
        LineCells cells(grid, reach, channel);
        for (std::size_t i = 0; i + 1 < lines[reach].size(); ++i) {
            cells.walk(lines[reach][i], lines[reach][i + 1]);
        }
    }
    std::ranges::sort(channel, [&](const ChannelCell& a, const ChannelCell& b) {
        return a.cell != b.cell ? a.cell < b.cell : turn[a.reach] > turn[b.reach];
    });
    // The plain form: clang 14 does not take the one of the ranges.
    const auto same_cell = [](const ChannelCell& a, const ChannelCell& b) { return a.cell == b.cell; };
    channel.erase(std::unique(channel.begin(), channel.end(), same_cell), channel.end());
    return channel;
}

WaysToStream::WaysToStream(FlowDirections directions, std::vector<ChannelCell> channel)
    : m_directions(std::move(directions)), m_channel(std::move(channel)) {
    std::erase_if(m_channel, [&](const ChannelCell& one) { return m_directions.ways.at(one.cell) == kNoGround; });
    std::ranges::sort(m_channel, {}, &ChannelCell::cell);
    for (const ChannelCell& one : m_channel) {
        m_directions.ways[one.cell] |= kChannelMark;
    }
}

bool WaysToStream::in_channel(CellNumber cell) const {
    return (m_directions.ways[cell] & kChannelMark) != 0;
}

std::uint32_t WaysToStream::reach_at(CellNumber cell) const {
    return std::ranges::lower_bound(m_channel, cell, {}, &ChannelCell::cell)->reach;
}

std::optional<StreamEntry> WaysToStream::entry_of(Point place) const {
    const auto cell = grid().cell_at(place);
    if (!cell) {
        return std::nullopt;
    }
    return entry_of(static_cast<CellNumber>(cell->row * grid().cols + cell->col));
}

std::optional<StreamEntry> WaysToStream::entry_of(CellNumber cell) const {
    const RowSides& sides = m_directions.sides;
    std::int64_t row = m_directions.place_of(cell).row;
    WayLengths lengths = way_lengths(sides, row);
    double distance_m = 0.0;
    while (!in_channel(cell)) {
        const auto to = m_directions.downstream(cell);
        if (!to) {
            return std::nullopt;
        }
        const std::uint8_t way = m_directions.ways[cell];
        distance_m += lengths.of(way);
        if (kWays[way].row != 0) {
            row += kWays[way].row;
            // Ways are thousands of cells long in a large basin: a root is drawn only where it comes out otherwise.
            if (!lengths.same_sides(sides, row)) {
                lengths = way_lengths(sides, row);
            }
        }
        cell = *to;
    }
    return StreamEntry{reach_at(cell), cell, distance_m};
}

std::pmr::vector<std::uint32_t> WaysToStream::catchments() const {
    constexpr std::uint32_t kNotYet = kNoReach - 1;
    std::pmr::vector<std::uint32_t> labels(m_directions.ways.size(), kNotYet, m_directions.ways.get_allocator());
    for (const ChannelCell& one : m_channel) {
        labels[one.cell] = one.reach;
    }
    std::vector<CellNumber> way;
    for (CellNumber start = 0; start < labels.size(); ++start) {
        std::optional<CellNumber> cell = start;
        while (cell && labels[*cell] == kNotYet) {
            way.push_back(*cell);
            cell = m_directions.downstream(*cell);
        }
        const std::uint32_t label = cell ? labels[*cell] : kNoReach;
        for (const CellNumber passed : way) {
            labels[passed] = label;
        }
        way.clear();
    }
    return labels;
}

}  // namespace eaveshed
