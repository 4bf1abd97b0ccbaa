#include "eaveshed/flow/directions.hpp"

#include <algorithm>
#include <cmath>
#include <span>
#include <utility>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/lanes.hpp"
#include "neighbours.hpp"

namespace eaveshed {

WayLengths way_lengths(const RowSides& sides, std::int64_t row) {
    const double width = sides.width_m[static_cast<std::size_t>(row)];
    const double height = sides.height_m[static_cast<std::size_t>(row)];
    return {width, height, std::sqrt(width * width + height * height)};
}

double FlowDirections::step_m(CellNumber cell) const {
    return way_lengths(sides, place_of(cell).row).of(ways[cell]);
}

namespace {

// Codes while flats are being led.
constexpr std::uint8_t kUnled = 10;
constexpr std::uint8_t kInFront = 11;
constexpr std::uint8_t kFresh = 16;  // added to a way that was found in this step

// Cells of one row with all their neighbours: `here` and the rows to the north and south, at the first cell's column.
template <typename Number>
struct RowCells {
    const Number* north;
    const Number* here;
    const Number* south;
};

template <typename Number>
[[gnu::always_inline]] inline void steepest_ways(const RowCells<Number>& cells, const WayLengths& lengths,
                                                 std::size_t count, std::uint8_t* ways) {
    constexpr std::size_t kChunk = 256;
    std::array<double, kChunk> codes;  // as wide as what they are chosen by
    for (std::size_t begin = 0; begin < count; begin += kChunk) {
        const std::size_t size = std::min(kChunk, count - begin);
        const Number* const north = cells.north + begin;
        const Number* const here = cells.here + begin;
        const Number* const south = cells.south + begin;
        for (std::size_t i = 0; i < size; ++i) {
            const double height = here[i];
            double code = std::isnan(height) ? kNoGround : kFlowsOut;
            double steepest = 0.0;
            const auto look = [&](double way, double elev_m, double length_m) {
                const double slope = (height - elev_m) / length_m;
                const bool steeper = slope > steepest;  // false where either is missing
                code = steeper ? way : code;
                steepest = steeper ? slope : steepest;
            };
            look(0.0, (here + 1)[i], lengths.width_m);
            look(1.0, (south + 1)[i], lengths.diagonal_m);
            look(2.0, south[i], lengths.height_m);
            look(3.0, (south - 1)[i], lengths.diagonal_m);
            look(4.0, (here - 1)[i], lengths.width_m);
            look(5.0, (north - 1)[i], lengths.diagonal_m);
            look(6.0, north[i], lengths.height_m);
            look(7.0, (north + 1)[i], lengths.diagonal_m);
            codes[i] = code;
        }
        for (std::size_t i = 0; i < size; ++i) {
            ways[begin + i] = static_cast<std::uint8_t>(codes[i]);
        }
    }
}

EAVESHED_WIDEN void steepest_in_row(const RowCells<float>& cells, const WayLengths& lengths, std::size_t count,
                                    std::uint8_t* ways) {
    steepest_ways(cells, lengths, count, ways);
}

EAVESHED_WIDEN void steepest_in_row(const RowCells<double>& cells, const WayLengths& lengths, std::size_t count,
                                    std::uint8_t* ways) {
    steepest_ways(cells, lengths, count, ways);
}

template <typename Number>
class Leader {
public:
    Leader(const Surface<Number>& filled, RowSides sides)
        : m_around(filled.grid),
          m_elev_m(filled.elev_m),
          m_memory(filled.elev_m.get_allocator().resource()),
          m_result{filled.grid, std::move(sides), std::pmr::vector<std::uint8_t>(m_memory)} {
        const auto rows = static_cast<std::size_t>(filled.grid.rows);
        const auto positive = [](double side) { return side > 0.0; };
        if (m_elev_m.size() != m_around.cells() || m_result.sides.width_m.size() != rows ||
            m_result.sides.height_m.size() != rows || !std::ranges::all_of(m_result.sides.width_m, positive) ||
            !std::ranges::all_of(m_result.sides.height_m, positive)) {
            internal_error("elevations or cell sides that do not fit the grid");
        }
        m_result.ways.resize(m_elev_m.size());
    }

    FlowDirections run() {
        for (std::int64_t row = 0; row < m_around.rows(); ++row) {
            lead_row(row);
        }
        lead_flats();
        return std::move(m_result);
    }

private:
    using Cells = std::pmr::vector<CellNumber>;

    [[nodiscard]] std::uint8_t& way(std::size_t cell) { return m_result.ways[cell]; }

    void lead_row(std::int64_t row) {
        const std::int64_t cols = m_around.cols();
        const auto first = static_cast<std::size_t>(row * cols);
        const WayLengths lengths = way_lengths(m_result.sides, row);
        const bool inner = row > 0 && row + 1 < m_around.rows() && cols > 2;
        if (!inner) {
            for (std::size_t cell = first; cell < first + static_cast<std::size_t>(cols); ++cell) {
                lead_at_edge(cell, lengths);
            }
            return;
        }
        const Number* const here = m_elev_m.data() + first + 1;
        steepest_in_row(RowCells<Number>{here - cols, here, here + cols}, lengths, static_cast<std::size_t>(cols - 2),
                        m_result.ways.data() + first + 1);
        lead_at_edge(first, lengths);
        lead_at_edge(first + static_cast<std::size_t>(cols) - 1, lengths);
    }

    void lead_at_edge(std::size_t cell, const WayLengths& lengths) {
        const double height = m_elev_m[cell];
        double steepest = 0.0;
        way(cell) = std::isnan(height) ? kNoGround : kFlowsOut;
        m_around.visit(cell, [&](std::size_t near, std::size_t to) {
            const double slope = (height - double{m_elev_m[near]}) / lengths.of(to);
            if (slope > steepest) {
                steepest = slope;
                way(cell) = static_cast<std::uint8_t>(to);
            }
        });
    }

    // Cells without a lower neighbour that are no outlets.
    void lead_flats() {
        Cells flats(m_memory);
        for (std::size_t cell = 0; cell < m_result.ways.size(); ++cell) {
            if (way(cell) == kFlowsOut && !m_around.on_edge(cell) && !beside_gap(cell)) {
                flats.push_back(static_cast<CellNumber>(cell));
            }
        }
        for (const CellNumber cell : flats) {
            way(cell) = kUnled;
        }
        const std::size_t wanted = flats.size();
        Cells front(m_memory);
        for (const CellNumber cell : flats) {
            if (beside_led(cell)) {
                way(cell) = kInFront;
                front.push_back(cell);
            }
        }
        flats = {};
        std::size_t led = 0;
        while (!front.empty()) {
            led += front.size();
            front = lead_front(front);
        }
        if (led != wanted) {
            internal_error("ground that was not filled: cells without a way down");
        }
    }

    [[nodiscard]] bool beside_gap(std::size_t cell) const {
        bool gap = false;
        m_around.visit_inner(cell, [&](std::size_t near, std::size_t) { gap = gap || std::isnan(m_elev_m[near]); });
        return gap;
    }

    [[nodiscard]] bool leads_level(std::size_t cell, std::size_t near) {
        return way(near) <= kFlowsOut && m_elev_m[near] == m_elev_m[cell];
    }

    [[nodiscard]] bool beside_led(std::size_t cell) {
        bool beside = false;
        m_around.visit_inner(cell, [&](std::size_t near, std::size_t) { beside = beside || leads_level(cell, near); });
        return beside;
    }

    // Leads the cells of the front to those led before, all at once, and gives the cells of their flats behind them.
    Cells lead_front(const Cells& front) {
        for (const CellNumber cell : front) {
            const WayLengths lengths = way_lengths(m_result.sides, m_around.row_of(cell));
            double nearest = 0.0;
            std::uint8_t best = kUnled;
            m_around.visit_inner(cell, [&](std::size_t near, std::size_t to) {
                if (leads_level(cell, near) && (best == kUnled || lengths.of(to) < nearest)) {
                    nearest = lengths.of(to);
                    best = static_cast<std::uint8_t>(to);
                }
            });
            way(cell) = static_cast<std::uint8_t>(best + kFresh);
        }
        Cells behind(m_memory);
        for (const CellNumber cell : front) {
            way(cell) = static_cast<std::uint8_t>(way(cell) - kFresh);
            m_around.visit_inner(cell, [&](std::size_t near, std::size_t) {
                if (way(near) == kUnled && m_elev_m[near] == m_elev_m[cell]) {
                    way(near) = kInFront;
                    behind.push_back(static_cast<CellNumber>(near));
                }
            });
        }
        return behind;
    }

    Neighbours m_around;
    const std::pmr::vector<Number>& m_elev_m;
    std::pmr::memory_resource* m_memory;
    FlowDirections m_result;
};

}  // namespace

template <typename Number>
FlowDirections flow_directions(const Surface<Number>& filled, RowSides sides) {
    return Leader<Number>(filled, std::move(sides)).run();
}

template FlowDirections flow_directions(const Surface<float>& filled, RowSides sides);
template FlowDirections flow_directions(const Surface<double>& filled, RowSides sides);

}  // namespace eaveshed
