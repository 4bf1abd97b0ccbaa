// The cells of a roof's own ground that pass the rules of the ground, with what no option changes: how far they are
// from what tanks keep away from, from the roof and from the use point. Made once for all options of a site.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "eaveshed/siting/pad.hpp"

namespace eaveshed {

struct OwnCell {
    Cell cell;
    double elev_m = 0.0;
    double slope = 0.0;
    double fill_m = 0.0;          // no more than the distance to the roof, and less by no more than rounding
    double use_squared_m2 = 0.0;  // horizontally to the use point
    bool near_roof = false;       // within max_fill_m
};

// Immutable after construction.
class OwnCells {
public:
    // The site has no given cell. What it points to outlives this.
    OwnCells(const PadSite& site, const PadRules& rules);

    // In order of row, then column. Not one but these passes the rules of the ground and is kept by the parcel.
    [[nodiscard]] std::span<const OwnCell> cells() const { return m_cells; }
    // Numbers of those near the roof, those with the shortest pipes about first.
    [[nodiscard]] std::span<const std::uint32_t> nearest_first() const { return m_nearest_first; }
    // Squared distances of all cells from what a rule that measures asks about, by the number of the rule and the cell.
    [[nodiscard]] std::span<const double> squares(std::size_t rule) const { return m_squares[rule]; }

    // Of the cell that holds a tank's centre, `shortest` being the squares that keep the tank's ground in that cell
    // away from the shapes wherever in it its centre lies (by rule; tank_clearance). False: the ground, the parcel, its
    // edge or the buildings forbid every place in it. True says nothing.
    [[nodiscard]] bool may_hold(Cell cell, std::span<const double> shortest) const;

private:
    static constexpr std::int32_t kNone = -1;

    void add_row(const PadSite& site, const PadRules& rules, std::int64_t row, const Span& run, const Spans& near);
    void sort_by_pipes(const PadRules& rules);

    CellRange m_around;
    CellRange m_own;
    bool m_has_parcel;
    std::vector<OwnCell> m_cells;
    std::vector<std::vector<double>> m_squares;  // by rule
    std::vector<std::uint32_t> m_nearest_first;
    std::vector<std::int32_t> m_numbers;             // of the own cells, row-major: their place among m_cells
    std::vector<std::vector<double>> m_row_squares;  // of one run, while it is added; the last ones to the roof
    std::vector<double> m_row_slopes;
};

// The squares for may_hold, of tanks whose level ground has this radius. Empty where nothing can be said of any cell: a
// tank beyond the parcel's edge may then have its centre in a cell within.
[[nodiscard]] std::vector<double> tank_clearance(double tank_radius_m, const CellSides& sides, const PadRules& rules);

}  // namespace eaveshed
