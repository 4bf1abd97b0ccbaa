#include "eaveshed/siting/stand.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace eaveshed {

namespace {

constexpr double kMillion = 1e6;
constexpr double kHalfTurnDeg = 180.0;

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

Levelled LevelDisc::level(const SiteTerrain& terrain, const PadGround& ground) const {
    Extremes extremes;
    extremes.add(ground.elev_m, m_radius_m * ground.slope());
    const auto rows = static_cast<std::int64_t>(m_half_widths.size());
    for (std::int64_t row = 1 - rows; row < rows; ++row) {
        const std::int64_t half = m_half_widths[static_cast<std::size_t>(std::abs(row))];
        for (std::int64_t col = -half; col <= half; ++col) {
            extremes.add(terrain.elev_m({ground.cell.row + row, ground.cell.col + col}), 0.0);
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
      m_direction(along_contour(*ground.gradient)) {}

double TankRow::elev_m(int i) const {
    return m_terrain->elev_between_m(
        m_terrain->beside(m_cell, offset_m(i) * m_direction.east, offset_m(i) * m_direction.north));
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

Levelled Footing::level_together(const PadGround& ground) const {
    return m_size.count == 1 ? level_circle(ground.elev_m, ground.slope(), m_size.pad_radius_m)
                             : m_disc.level(*m_terrain, ground);
}

Stand Footing::together(const PadGround& ground) const {
    Stand stand{.arrangement = m_size.count == 1 ? Arrangement::single : Arrangement::cluster,
                .radius_m = m_size.pad_radius_m,
                .tanks = {},
                .level = level_together(ground)};
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
    Extremes extremes;
    for (int i = 0; i < m_size.count; ++i) {
        stand.tanks.push_back(tanks.tank(i));
        extremes.add(stand.tanks.back().elev_m, m_size.tank_radius_m * stand.tanks.back().slope);
    }
    stand.level = extremes.levelled();
    return stand;
}

}  // namespace eaveshed
