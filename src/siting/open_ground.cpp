#include "eaveshed/siting/open_ground.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "rule_walk.hpp"

namespace eaveshed {

// Of one run, while it is added.
struct OpenGround::Scratch {
    std::vector<double> slopes;
    std::array<std::vector<double>, kMeasuringRules> squares;  // by rule
};

OpenGround::OpenGround(const PadSite& site, const PadRules& rules)
    : m_around(site.surroundings->around()),
      m_own(site.surroundings->own()),
      m_has_parcel(site.surroundings->has_parcel()),
      m_squares(kMeasuringRules) {
    if (m_own.empty()) {
        return;
    }
    m_numbers.assign(static_cast<std::size_t>(m_own.rows() * m_own.cols()), kNone);
    constexpr std::size_t kMostAtOnce = 1024;  // grown beyond that
    m_cells.reserve(std::min(kMostAtOnce, m_numbers.size()));
    for (std::vector<double>& squares : m_squares) {
        squares.reserve(m_cells.capacity());
    }
    Spans kept;
    Scratch scratch;
    for (std::int64_t row = m_own.row_begin; row < m_own.row_end; ++row) {
        each_rule([&](auto rule) {
            if constexpr (KeepsRuns<decltype(rule)>) {
                rule.keeps({site, row}, kept);
            }
        });
        for (const Span& run : kept) {
            add_run(site, rules, row, run, scratch);
        }
    }
}

void OpenGround::add_run(const PadSite& site, const PadRules& rules, std::int64_t row, const Span& run,
                         Scratch& scratch) {
    std::vector<double>& slopes = scratch.slopes;
    slopes.resize(static_cast<std::size_t>(run.end - run.begin));
    site.terrain->slopes(row, run.begin, slopes);
    const auto fallen = [&](double slope) { return fails_any(GroundAsked{slope}, rules.limits); };
    const auto first = std::ranges::find_if_not(slopes, fallen);
    if (first == slopes.end()) {
        return;
    }
    const auto last = std::find_if_not(slopes.rbegin(), slopes.rend(), fallen).base();
    const Span passing{run.begin + (first - slopes.begin()), run.begin + (last - slopes.begin())};
    each_rule([&](auto rule) {
        if constexpr (MeasuresRows<decltype(rule)>) {
            std::vector<double>& squares = scratch.squares[measuring_index(rule)];
            squares.resize(static_cast<std::size_t>(passing.end - passing.begin));
            rule.squares({site, row}, passing, squares);
        }
    });
    const std::size_t first_number = m_cells.size();
    for (std::int64_t col = passing.begin; col < passing.end; ++col) {
        const double slope = slopes[static_cast<std::size_t>(col - run.begin)];
        if (fallen(slope)) {
            continue;
        }
        const Cell cell{row, col};
        m_numbers[static_cast<std::size_t>((row - m_own.row_begin) * m_own.cols() + (col - m_own.col_begin))] =
            static_cast<std::int32_t>(m_cells.size());
        m_cells.push_back({cell, site.terrain->elev_m(cell), slope});
        for (std::size_t rule = 0; rule < kMeasuringRules; ++rule) {
            m_squares[rule].push_back(scratch.squares[rule][static_cast<std::size_t>(col - passing.begin)]);
        }
    }
    m_runs.push_back({row, passing, first_number, m_cells.size()});
}

bool OpenGround::may_hold(Cell cell, std::span<const double> shortest) const {
    if (shortest.empty()) {
        return true;
    }
    if (!m_own.holds(cell)) {
        return !m_has_parcel || !m_around.holds(cell);
    }
    const std::int32_t number =
        m_numbers[static_cast<std::size_t>((cell.row - m_own.row_begin) * m_own.cols() + (cell.col - m_own.col_begin))];
    return number != kNone && clear(static_cast<std::size_t>(number), shortest);
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
