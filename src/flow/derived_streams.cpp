#include "eaveshed/flow/derived_streams.hpp"

#include <algorithm>

#include "eaveshed/core/error.hpp"
#include "neighbours.hpp"

namespace eaveshed {

namespace {

class StreamTracer {
public:
    StreamTracer(const FlowDirections& directions, const Accumulation& accumulation, double stream_area_m2)
        : m_directions(directions),
          m_accumulation(accumulation),
          m_least_m2(stream_area_m2),
          m_around(directions.grid) {
        if (!(stream_area_m2 > 0.0) || accumulation.cells.size() != directions.ways.size()) {
            internal_error("a stream area that is not above 0, or sums that do not belong to the directions");
        }
    }

    DerivedStreams run() {
        for (CellNumber cell = 0; cell < m_directions.ways.size(); ++cell) {
            if (is_channel(cell) && m_directions.downstream(cell) && inflows(cell) != 1) {
                m_starts.push_back(cell);
            }
        }
        std::vector<std::uint32_t> next;
        for (const CellNumber start : m_starts) {
            m_streams.reaches.push_back(traced(start));
            next.push_back(starting_at(m_streams.reaches.back().cells.back()));
            DerivedReach& reach = m_streams.reaches.back();
            reach.own = reach.cells.size() - (next.back() == kNoReach ? 0 : 1);
        }
        give_outlets_to_one(next);
        m_streams.tree = ReachTree(std::move(next));
        return std::move(m_streams);
    }

private:
    [[nodiscard]] bool is_channel(CellNumber cell) const {
        return m_directions.ways[cell] != kNoGround && m_accumulation.area_at(cell) >= m_least_m2;
    }

    // How many channel cells drain to this one.
    [[nodiscard]] int inflows(CellNumber cell) const {
        int count = 0;
        m_around.visit(cell, [&](std::size_t near, std::size_t way) {
            constexpr std::size_t kHalfTurn = 4;
            const bool drains_here = m_directions.ways[near] == (way + kHalfTurn) % kWays.size();
            count += drains_here && is_channel(static_cast<CellNumber>(near)) ? 1 : 0;
        });
        return count;
    }

    [[nodiscard]] DerivedReach traced(CellNumber start) const {
        DerivedReach reach;
        reach.cells.push_back(start);
        for (auto to = m_directions.downstream(start); to; to = m_directions.downstream(*to)) {
            const CellNumber last = reach.cells.back();
            reach.length_m += m_directions.step_m(last);
            reach.cells.push_back(*to);
            if (inflows(*to) != 1) {
                reach.area_m2 = m_accumulation.area_at(last);
                return reach;
            }
        }
        reach.area_m2 = m_accumulation.area_at(reach.cells.back());
        return reach;
    }

    // The reach that begins at a cell.
    [[nodiscard]] std::uint32_t starting_at(CellNumber cell) const {
        const auto found = std::ranges::lower_bound(m_starts, cell);
        const bool starts = found != m_starts.end() && *found == cell;
        return starts ? static_cast<std::uint32_t>(found - m_starts.begin()) : kNoReach;
    }

    // Where several reaches end at one outlet, the cell is the own one of that which drains most.
    void give_outlets_to_one(const std::vector<std::uint32_t>& next) {
        std::vector<std::pair<CellNumber, std::uint32_t>> ends;
        for (std::uint32_t i = 0; i < next.size(); ++i) {
            if (next[i] == kNoReach) {
                ends.emplace_back(m_streams.reaches[i].cells.back(), i);
            }
        }
        std::ranges::sort(ends, [&](const auto& a, const auto& b) {
            const double a_m2 = m_streams.reaches[a.second].area_m2;
            const double b_m2 = m_streams.reaches[b.second].area_m2;
            if (a.first != b.first || a_m2 != b_m2) {
                return a.first != b.first ? a.first < b.first : a_m2 > b_m2;
            }
            return a.second < b.second;
        });
        for (std::size_t i = 1; i < ends.size(); ++i) {
            if (ends[i].first == ends[i - 1].first) {
                --m_streams.reaches[ends[i].second].own;
            }
        }
    }

    const FlowDirections& m_directions;
    const Accumulation& m_accumulation;
    double m_least_m2;
    Neighbours m_around;
    std::vector<CellNumber> m_starts;  // ascending
    DerivedStreams m_streams;
};

}  // namespace

DerivedStreams derive_streams(const FlowDirections& directions, const Accumulation& accumulation,
                              double stream_area_m2) {
    return StreamTracer(directions, accumulation, stream_area_m2).run();
}

Line line_of(const DerivedReach& reach, const Grid& grid) {
    Line line;
    line.reserve(reach.cells.size());
    for (const CellNumber cell : reach.cells) {
        line.push_back(grid.centre({cell / grid.cols, cell % grid.cols}));
    }
    return line;
}

}  // namespace eaveshed
