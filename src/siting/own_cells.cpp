#include "eaveshed/siting/own_cells.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <utility>

#include "rule_walk.hpp"

namespace eaveshed {

// What all runs ask, and of one run while it is added.
struct OwnCells::Scratch {
    Clearance least{};  // of any option
    Spans near = {};    // of the run's row: the cells near the roof
    std::optional<std::int64_t> near_row = {};
    std::vector<double> squares = {};
};

OwnCells::OwnCells(const PadSite& site, const PadRules& rules, const OpenGround& ground) : m_ground(&ground) {
    m_cells.reserve(ground.cells().size());
    const bool all_near = site.surroundings->all_near_roof(rules.max_fill_m);
    Scratch scratch{.least = clearance_of(rules.least_core_radius_m, rules.limits)};
    for (const OpenGround::Run& run : ground.runs()) {
        if (all_near) {
            scratch.near.assign(1, run.cols);
        } else if (scratch.near_row != run.row) {
            scratch.near_row = run.row;
            site.surroundings->near_roof(run.row, rules.max_fill_m, scratch.near);
        }
        add_run(site, rules, run, scratch);
    }
    sort_by_pipes();
}

void OwnCells::add_run(const PadSite& site, const PadRules& rules, const OpenGround::Run& run, Scratch& scratch) {
    constexpr double kGuardM = 1e-9;  // rounding must not make a bound too tight
    SpanCursor near_roof(scratch.near);
    const std::size_t first = m_cells.size();
    for (std::size_t number = run.first; number < run.end; ++number) {
        const OpenCell& open = m_ground->cells()[number];
        if (m_ground->clear(number, scratch.least) && near_roof.holds(open.cell.col)) {
            m_cells.push_back({.cell = open.cell,
                               .elev_m = open.elev_m,
                               .slope = open.slope,
                               .number = static_cast<std::uint32_t>(number)});
        }
    }
    if (m_cells.size() == first) {
        return;
    }
    const Span cols{m_cells[first].cell.col, m_cells.back().cell.col + 1};
    std::vector<double>& squares = scratch.squares;
    squares.resize(static_cast<std::size_t>(cols.end - cols.begin));
    site.surroundings->roof_squares(run.row, cols, squares);
    for (OwnCell& own : std::span(m_cells).subspan(first)) {
        const Point centre = site.terrain->centre(own.cell).metres;
        const double dx = centre.x - site.use_metres.x;
        const double dy = centre.y - site.use_metres.y;
        own.fill_m = std::sqrt(squares[static_cast<std::size_t>(own.cell.col - cols.begin)]) - kGuardM;
        own.use_squared_m2 = dx * dx + dy * dy;
        own.shortest_m = rules.fill_weight * own.fill_m + rules.pipe_slack * std::sqrt(own.use_squared_m2) - kGuardM;
    }
}

// Into heaps of about equal length: which comes first within one, nobody minds.
void OwnCells::sort_by_pipes() {
    constexpr std::size_t kHeaps = 64;
    if (m_cells.empty()) {
        return;
    }
    const auto [shortest, longest] = std::ranges::minmax(m_cells, {}, &OwnCell::shortest_m);
    const double from_m = shortest.shortest_m;
    const double span_m = longest.shortest_m - from_m;
    constexpr double kRounding = 1.0 + 1e-9;  // of the heap that a length falls into
    m_disorder_m = kRounding * span_m / kHeaps;
    const double per_length = span_m > 0.0 ? static_cast<double>(kHeaps) / span_m : 0.0;
    const auto heap_of = [&](const OwnCell& own) {
        return std::min(kHeaps - 1, static_cast<std::size_t>((own.shortest_m - from_m) * per_length));
    };
    std::array<std::size_t, kHeaps + 1> ends{};
    for (const OwnCell& own : m_cells) {
        ++ends[heap_of(own) + 1];
    }
    for (std::size_t heap = 0; heap < kHeaps; ++heap) {
        ends[heap + 1] += ends[heap];
    }
    std::vector<OwnCell> sorted(m_cells.size());
    for (const OwnCell& own : m_cells) {
        sorted[ends[heap_of(own)]++] = own;
    }
    m_cells = std::move(sorted);
}

}  // namespace eaveshed
