#include "eaveshed/siting/own_cells.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "rule_walk.hpp"

namespace eaveshed {

namespace {

bool lies_in(const CellRange& range, Cell cell) {
    return cell.row >= range.row_begin && cell.row < range.row_end && cell.col >= range.col_begin &&
           cell.col < range.col_end;
}

}  // namespace

OwnCells::OwnCells(const PadSite& site, const PadRules& rules)
    : m_around(site.surroundings->around()),
      m_own(site.surroundings->own()),
      m_has_parcel(site.surroundings->has_parcel()),
      m_squares(kMeasuringRules),
      m_row_squares(kMeasuringRules + 1) {
    if (m_own.empty()) {
        return;
    }
    m_numbers.assign(static_cast<std::size_t>(m_own.rows() * m_own.cols()), kNone);
    constexpr std::size_t kMostAtOnce = 1024;  // grown beyond that
    m_cells.reserve(std::min(kMostAtOnce, m_numbers.size()));
    for (std::vector<double>& squares : m_squares) {
        squares.reserve(m_cells.capacity());
    }
    const bool all_near = site.surroundings->all_near_roof(rules.max_fill_m);
    Spans kept;
    Spans near;
    for (std::int64_t row = m_own.row_begin; row < m_own.row_end; ++row) {
        each_rule([&](auto rule) {
            if constexpr (KeepsRuns<decltype(rule)>) {
                rule.keeps({site, row}, kept);
            }
        });
        if (kept.empty()) {
            continue;
        }
        if (all_near) {
            near = kept;
        } else {
            site.surroundings->near_roof(row, rules.max_fill_m, near);
        }
        for (const Span& run : kept) {
            add_row(site, rules, row, run, near);
        }
    }
    sort_by_pipes(rules);
}

void OwnCells::add_row(const PadSite& site, const PadRules& rules, std::int64_t row, const Span& run,
                       const Spans& near) {
    constexpr double kGuardM = 1e-9;  // rounding must not make a bound too tight
    m_row_slopes.resize(static_cast<std::size_t>(run.end - run.begin));
    site.terrain->slopes(row, run.begin, m_row_slopes);
    const auto fallen = [&](double slope) { return fails_any(GroundAsked{slope}, rules.limits); };
    const auto first = std::ranges::find_if_not(m_row_slopes, fallen);
    if (first == m_row_slopes.end()) {
        return;
    }
    const auto last = std::find_if_not(m_row_slopes.rbegin(), m_row_slopes.rend(), fallen).base();
    const Span passing{run.begin + (first - m_row_slopes.begin()), run.begin + (last - m_row_slopes.begin())};
    for (std::vector<double>& squares : m_row_squares) {
        squares.resize(static_cast<std::size_t>(passing.end - passing.begin));
    }
    each_rule([&](auto rule) {
        if constexpr (MeasuresRows<decltype(rule)>) {
            rule.squares({site, row}, passing, m_row_squares[measuring_index(rule)]);
        }
    });
    site.surroundings->roof_squares(row, passing, m_row_squares.back());
    SpanCursor near_roof(near);
    for (std::int64_t col = passing.begin; col < passing.end; ++col) {
        const double slope = m_row_slopes[static_cast<std::size_t>(col - run.begin)];
        if (fallen(slope)) {
            continue;
        }
        const auto at = static_cast<std::size_t>(col - passing.begin);
        const Cell cell{row, col};
        const Point centre = site.terrain->centre(cell).metres;
        const double dx = centre.x - site.use_metres.x;
        const double dy = centre.y - site.use_metres.y;
        m_numbers[static_cast<std::size_t>((row - m_own.row_begin) * m_own.cols() + (col - m_own.col_begin))] =
            static_cast<std::int32_t>(m_cells.size());
        m_cells.push_back({.cell = cell,
                           .elev_m = site.terrain->elev_m(cell),
                           .slope = slope,
                           .fill_m = std::sqrt(m_row_squares.back()[at]) - kGuardM,
                           .use_squared_m2 = dx * dx + dy * dy,
                           .near_roof = near_roof.holds(col)});
        for (std::size_t rule = 0; rule < kMeasuringRules; ++rule) {
            m_squares[rule].push_back(m_row_squares[rule][at]);
        }
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

bool OwnCells::may_hold(Cell cell, std::span<const double> shortest) const {
    if (shortest.empty()) {
        return true;
    }
    if (!lies_in(m_own, cell)) {
        return !m_has_parcel || !lies_in(m_around, cell);
    }
    const std::int32_t number =
        m_numbers[static_cast<std::size_t>((cell.row - m_own.row_begin) * m_own.cols() + (cell.col - m_own.col_begin))];
    if (number == kNone) {
        return false;
    }
    for (std::size_t rule = 0; rule < kMeasuringRules; ++rule) {
        if (m_squares[rule][static_cast<std::size_t>(number)] < shortest[rule]) {
            return false;
        }
    }
    return true;
}

std::vector<double> tank_clearance(double tank_radius_m, const CellSides& sides, const PadRules& rules) {
    constexpr double kGuardM = 1e-3;
    // A centre is at most half a diagonal from that of its cell.
    const double radius_m = tank_radius_m - 0.5 * std::hypot(sides.width_m, sides.height_m) - kGuardM;
    if (radius_m + rules.limits[PadReason::boundary_setback] <= 0.0) {
        return {};
    }
    const Clearance clear = clearance_of(radius_m, rules.limits);
    return {clear.begin(), clear.end()};
}

}  // namespace eaveshed
