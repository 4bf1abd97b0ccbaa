#include "eaveshed/siting/room_for_tanks.hpp"

#include <algorithm>
#include <cmath>

#include "rule_walk.hpp"

namespace eaveshed {

RoomForTanks::RoomForTanks(const PadSite& site, const PadRules& rules, double tank_radius_m)
    : m_tank_radius_m(tank_radius_m), m_around(site.surroundings->around()), m_own(site.surroundings->own()) {
    constexpr double kGuardM = 1e-3;
    const CellSides& sides = site.terrain->sides();
    // A centre is at most half a diagonal from that of its cell.
    const double radius_m = tank_radius_m - 0.5 * std::hypot(sides.width_m, sides.height_m) - kGuardM;
    if (radius_m + rules.limits[PadReason::boundary_setback] <= 0.0) {
        return;
    }
    m_outside_parcel = site.surroundings->has_parcel();
    m_holds.assign(static_cast<std::size_t>(m_own.rows() * m_own.cols()), 0);
    Spans open;
    Spans other;
    for (std::int64_t row = m_own.row_begin; row < m_own.row_end; ++row) {
        const RunsAsked asked{site, row, radius_m};
        each_rule([&](auto rule) {
            using Rule = decltype(rule);
            if constexpr (KeepsRuns<Rule>) {
                Rule::keeps(asked, limit_of(rule, rules.limits), open);
            } else if constexpr (RemovesRuns<Rule>) {
                Rule::removes(asked, limit_of(rule, rules.limits), other);
                subtract(open, other);
            }
        });
        const auto begin = m_holds.begin() + (row - m_own.row_begin) * m_own.cols() - m_own.col_begin;
        for (const Span& span : open) {
            std::fill(begin + span.begin, begin + span.end, std::uint8_t{1});
        }
    }
}

bool RoomForTanks::may_hold(Cell cell) const {
    const auto in_range = [&](const CellRange& range) {
        return cell.row >= range.row_begin && cell.row < range.row_end && cell.col >= range.col_begin &&
               cell.col < range.col_end;
    };
    if (m_holds.empty()) {
        return true;
    }
    if (in_range(m_own)) {
        return m_holds[static_cast<std::size_t>((cell.row - m_own.row_begin) * m_own.cols() +
                                                (cell.col - m_own.col_begin))] != 0;
    }
    return !m_outside_parcel || !in_range(m_around);
}

}  // namespace eaveshed
