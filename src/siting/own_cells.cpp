#include "eaveshed/siting/own_cells.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>

#include "rule_walk.hpp"

namespace eaveshed {

OwnCells::OwnCells(const PadSite& site, const PadRules& rules, const OpenGround& ground) : m_ground(&ground) {
    m_cells.reserve(ground.cells().size());
    const bool all_near = site.surroundings->all_near_roof(rules.max_fill_m);
    Spans near;
    std::optional<std::int64_t> near_row;  // of which `near` tells
    std::vector<double> squares;
    for (const OpenGround::Run& run : ground.runs()) {
        if (all_near) {
            near.assign(1, run.cols);
        } else if (near_row != run.row) {
            near_row = run.row;
            site.surroundings->near_roof(run.row, rules.max_fill_m, near);
        }
        add_run(site, run, near, squares);
    }
    sort_by_pipes(rules);
}

void OwnCells::add_run(const PadSite& site, const OpenGround::Run& run, const Spans& near,
                       std::vector<double>& squares) {
    constexpr double kGuardM = 1e-9;  // rounding must not make a bound too tight
    squares.resize(static_cast<std::size_t>(run.cols.end - run.cols.begin));
    site.surroundings->roof_squares(run.row, run.cols, squares);
    SpanCursor near_roof(near);
    for (std::size_t number = run.first; number < run.end; ++number) {
        const OpenCell& open = m_ground->cells()[number];
        const Point centre = site.terrain->centre(open.cell).metres;
        const double dx = centre.x - site.use_metres.x;
        const double dy = centre.y - site.use_metres.y;
        m_cells.push_back(
            {.cell = open.cell,
             .elev_m = open.elev_m,
             .slope = open.slope,
             .fill_m = std::sqrt(squares[static_cast<std::size_t>(open.cell.col - run.cols.begin)]) - kGuardM,
             .use_squared_m2 = dx * dx + dy * dy,
             .near_roof = near_roof.holds(open.cell.col)});
    }
}

// Into heaps of about equal length: which comes first within one, nobody minds.
void OwnCells::sort_by_pipes(const PadRules& rules) {
    constexpr std::size_t kHeaps = 64;
    std::vector<double> lengths(m_cells.size());
    double shortest = std::numeric_limits<double>::infinity();
    double longest = 0.0;
    for (std::size_t i = 0; i < m_cells.size(); ++i) {
        if (m_cells[i].near_roof) {
            lengths[i] =
                rules.fill_weight * m_cells[i].fill_m + rules.pipe_slack * std::sqrt(m_cells[i].use_squared_m2);
            shortest = std::min(shortest, lengths[i]);
            longest = std::max(longest, lengths[i]);
        }
    }
    const double per_length = longest > shortest ? static_cast<double>(kHeaps) / (longest - shortest) : 0.0;
    const auto heap_of = [&](std::size_t i) {
        return std::min(kHeaps - 1, static_cast<std::size_t>((lengths[i] - shortest) * per_length));
    };
    std::array<std::uint32_t, kHeaps + 1> ends{};
    for (std::size_t i = 0; i < m_cells.size(); ++i) {
        if (m_cells[i].near_roof) {
            ++ends[heap_of(i) + 1];
        }
    }
    for (std::size_t heap = 0; heap < kHeaps; ++heap) {
        ends[heap + 1] += ends[heap];
    }
    m_nearest_first.resize(ends[kHeaps]);
    for (std::size_t i = 0; i < m_cells.size(); ++i) {
        if (m_cells[i].near_roof) {
            m_nearest_first[ends[heap_of(i)]++] = static_cast<std::uint32_t>(i);
        }
    }
}

}  // namespace eaveshed
