// How the tanks of an option stand on a cell: one alone, several on one level circle, or several in a row along the
// contour, each on level ground of its own.
#pragma once

#include <boost/container/small_vector.hpp>
#include <cstdint>
#include <vector>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/siting/pad_size.hpp"
#include "eaveshed/vicinity/site_terrain.hpp"

namespace eaveshed {

// Ground that is cut level with its lowest edge; both NaN where an elevation that it needs is missing.
// method.md 6.3.
struct Levelled {
    double pad_elev_m = kMissing;
    double cut_m = kMissing;  // at its highest
};

// One circle of ground that slopes evenly.
[[nodiscard]] Levelled level_circle(double elev_m, double slope, double radius_m);

// A cell with what the terrain says of it.
struct PadGround {
    Cell cell;
    double elev_m = 0.0;
    // Of the ground; none where it is not known, and with it all heights of the pad.
    std::optional<Gradient> gradient = {};

    [[nodiscard]] double slope() const { return gradient ? gradient->slope() : kMissing; }
};

// The cells within a radius of a cell's centre, wherever that cell lies.
class LevelDisc {
public:
    LevelDisc(const CellSides& sides, double radius_m);

    // The circle cut level, edge and inside; NaN where the grid ends or a cell is missing. Once the cut is deeper than
    // `give_up_m` it may be told too small, and what is missing may not be seen.
    [[nodiscard]] Levelled level(const SiteTerrain& terrain, const PadGround& ground, double give_up_m) const;

private:
    double m_radius_m;
    std::vector<std::int64_t> m_half_widths;  // in cells, of the rows from the middle one outwards
};

// Which way a row runs: a unit vector.
struct RowDirection {
    double east = 1.0;
    double north = 0.0;

    // Clockwise from the grid's north, from 0 to below 180, in whole millionths.
    [[nodiscard]] double bearing_deg() const;
};
// At right angles to the gradient; east where the ground is level.
// method.md 6.26.
[[nodiscard]] RowDirection along_contour(const Gradient& gradient);

// A tank of a pad.
struct StandingTank {
    Place centre;
    double elev_m = kMissing;  // of the ground at its centre, uncut
    double slope = kMissing;   // of the cell that holds its centre; NaN where it is not known
};
using StandingTanks = boost::container::small_vector<StandingTank, 12>;

// Tanks in a row, the middle of which lies at the cell's centre.
// method.md 6.26.
class TankRow {
public:
    TankRow(const SiteTerrain& terrain, const PadGround& ground, const TankGround& size);

    [[nodiscard]] const RowDirection& direction() const { return m_direction; }
    // Number `i` from one end, below the count.
    [[nodiscard]] StandingTank tank(int i) const;
    // Elevation of the ground there, and the cell that holds its centre.
    [[nodiscard]] double elev_m(int i) const;
    [[nodiscard]] Cell holder(int i) const;
    // All of them cut level with each other; NaN where an elevation is missing under one, or for its slope. Not known
    // either where one stands on ground steeper than `max_slope_pct`; and like LevelDisc::level past `give_up_m`.
    [[nodiscard]] Levelled level(double max_slope_pct, double give_up_m) const;

private:
    [[nodiscard]] CellPosition position(int i) const {
        return m_terrain->beside(m_cell, offset_m(i) * m_direction.east, offset_m(i) * m_direction.north);
    }
    [[nodiscard]] double offset_m(int i) const { return (i - 0.5 * (m_count - 1)) * m_spacing_m; }

    const SiteTerrain* m_terrain;
    Cell m_cell;
    int m_count;
    double m_spacing_m;
    double m_tank_radius_m;
    RowDirection m_direction;
};

// One of the ways, with the ground that it takes.
struct Stand {
    Arrangement arrangement = Arrangement::single;
    double radius_m = 0.0;  // of the circle around each of `tanks`
    double row_span_m = 0.0;
    double row_bearing_deg = 0.0;
    StandingTanks tanks;  // of a row; else one place for all of them
    Levelled level;
};

// What the tanks of an option need to be told of a site once, to stand on any cell of it.
class Footing {
public:
    // `terrain` and what it was made for outlive this.
    Footing(const SiteTerrain& terrain, const TankGround& size);

    [[nodiscard]] const TankGround& size() const { return m_size; }
    // The one way in which a single tank stands, or the first of the two of several.
    [[nodiscard]] Stand together(const PadGround& ground) const;
    // Of that way, like LevelDisc::level past `give_up_m`.
    [[nodiscard]] Levelled level_together(const PadGround& ground, double give_up_m) const;
    // The ground's gradient is known.
    [[nodiscard]] Stand in_a_row(const PadGround& ground) const;
    [[nodiscard]] TankRow row(const PadGround& ground) const { return {*m_terrain, ground, m_size}; }

private:
    const SiteTerrain* m_terrain;
    TankGround m_size;
    LevelDisc m_disc;
};

}  // namespace eaveshed
