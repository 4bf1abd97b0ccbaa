#include "eaveshed/siting/stand.hpp"
#include "eaveshed/core/constants.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace eaveshed {

namespace {

constexpr double kMillion = 1e6;
constexpr double kHalfTurnDeg = 180.0;
constexpr double kNever = std::numeric_limits<double>::infinity();

// Lowest and highest edge of what is cut level together.
struct Extremes {
    double lowest_m = std::numeric_limits<double>::infinity();
    double highest_m = -std::numeric_limits<double>::infinity();
    bool known = true;

    void add(double elev_m, double rise_m) {
        known = known && !std::isnan(elev_m) && !std::isnan(rise_m);
        lowest_m = std::min(lowest_m, elev_m - rise_m);
        highest_m = std::max(highest_m, elev_m + rise_m);
    }
    [[nodiscard]] Levelled levelled() const { return known ? Levelled{lowest_m, highest_m - lowest_m} : Levelled{}; }
};

}  // namespace

Levelled level_circle(double elev_m, double slope, double radius_m) {
    return {elev_m - radius_m * slope, 2.0 * radius_m * slope};
}

LevelDisc::LevelDisc(const CellSides& sides, double radius_m) : m_radius_m(radius_m) {
    constexpr double kGuardM = 1e-9;  // a centre on the rim belongs to it, whatever rounding did
    const double reach_m = radius_m + kGuardM;
    for (std::int64_t row = 0; static_cast<double>(row) * sides.height_m <= reach_m; ++row) {
        const auto within = [&](std::int64_t col) {
            const double dx = static_cast<double>(col) * sides.width_m;
            const double dy = static_cast<double>(row) * sides.height_m;
            return std::sqrt(dx * dx + dy * dy) <= reach_m;
        };
        std::int64_t half = 0;
        while (within(half + 1)) {
            ++half;
        }
        m_half_widths.push_back(half);
    }
}

Levelled LevelDisc::level(const SiteTerrain& terrain, const PadGround& ground, double give_up_m) const {
    Extremes extremes;
    extremes.add(ground.elev_m, m_radius_m * ground.slope());
    const auto [row, col] = ground.cell;
    for (std::int64_t away = 0; away < static_cast<std::int64_t>(m_half_widths.size()); ++away) {
        const std::int64_t half = m_half_widths[static_cast<std::size_t>(away)];
        for (const std::int64_t other : {row - away, row + away}) {
            extremes.known = terrain.widen(other, col - half, col + half + 1, extremes.lowest_m, extremes.highest_m) &&
                             extremes.known;
        }
        if (extremes.highest_m - extremes.lowest_m > give_up_m) {
            break;
        }
    }
    return extremes.levelled();
}

double RowDirection::bearing_deg() const {
    const double degrees = std::atan2(east, north) * kHalfTurnDeg / std::numbers::pi;
    const double turned = degrees < 0.0 ? degrees + kHalfTurnDeg : degrees;
    const double rounded = std::floor(turned * kMillion + 0.5) / kMillion;
    return rounded >= kHalfTurnDeg ? rounded - kHalfTurnDeg : rounded;
}

RowDirection along_contour(const Gradient& gradient) {
    const double slope = gradient.slope();
    return slope > 0.0 ? RowDirection{-gradient.north / slope, gradient.east / slope} : RowDirection{};
}

TankRow::TankRow(const SiteTerrain& terrain, const PadGround& ground, const TankGround& size)
    : m_terrain(&terrain),
      m_cell(ground.cell),
      m_count(size.count),
      m_spacing_m(size.spacing_m),
      m_tank_radius_m(size.tank_radius_m),
      m_direction(along_contour(*ground.gradient)) {}

double TankRow::elev_m(int i) const {
    return m_terrain->elev_between_m(position(i));
}

Cell TankRow::holder(int i) const {
    return position(i).holder();
}

Levelled TankRow::level(double max_slope_pct, double give_up_m) const {
    Extremes extremes;
    for (int i = 0; i < m_count; ++i) {
        // From both ends: what lies farthest apart differs most.
        const CellPosition at = position(i % 2 == 0 ? i / 2 : m_count - 1 - i / 2);
        const auto slope = m_terrain->slope(at.holder());
        if (!slope || *slope * kPercent > max_slope_pct) {
            return {};
        }
        extremes.add(m_terrain->elev_between_m(at), m_tank_radius_m * *slope);
        if (extremes.highest_m - extremes.lowest_m > give_up_m) {
            break;
        }
    }
    return extremes.levelled();
}

StandingTank TankRow::tank(int i) const {
    const double east_m = offset_m(i) * m_direction.east;
    const double north_m = offset_m(i) * m_direction.north;
    const CellPosition position = m_terrain->beside(m_cell, east_m, north_m);
    return {m_terrain->place_beside(m_cell, east_m, north_m), m_terrain->elev_between_m(position),
            m_terrain->slope(position.holder()).value_or(kMissing)};
}

Footing::Footing(const SiteTerrain& terrain, const TankGround& size)
    : m_terrain(&terrain), m_size(size), m_disc(terrain.sides(), size.count == 1 ? 0.0 : size.pad_radius_m) {}

Levelled Footing::level_together(const PadGround& ground, double give_up_m) const {
    return m_size.count == 1 ? level_circle(ground.elev_m, ground.slope(), m_size.pad_radius_m)
                             : m_disc.level(*m_terrain, ground, give_up_m);
}

Stand Footing::together(const PadGround& ground) const {
    Stand stand{.arrangement = m_size.count == 1 ? Arrangement::single : Arrangement::cluster,
                .radius_m = m_size.pad_radius_m,
                .tanks = {},
                .level = level_together(ground, kNever)};
    stand.tanks.push_back({m_terrain->centre(ground.cell), ground.elev_m, ground.slope()});
    return stand;
}

Stand Footing::in_a_row(const PadGround& ground) const {
    const TankRow tanks = row(ground);
    Stand stand{.arrangement = Arrangement::row,
                .radius_m = m_size.tank_radius_m,
                .row_span_m = m_size.row_span_m(),
                .row_bearing_deg = tanks.direction().bearing_deg(),
                .tanks = {},
                .level = {}};
    for (int i = 0; i < m_size.count; ++i) {
        stand.tanks.push_back(tanks.tank(i));
    }
    stand.level = tanks.level(kNever, kNever);
    return stand;
}

}  // namespace eaveshed
