// The cells of a site's own ground that pass the rules of the ground and are kept by its parcel, with how far they are
// from what tanks keep away from: what roofs of one parcel have in common.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "eaveshed/siting/pad.hpp"

namespace eaveshed {

struct OpenCell {
    Cell cell;
    double elev_m = 0.0;
    double slope = 0.0;  // m per m
};

// Immutable after construction.
class OpenGround {
public:
    // Cells beside each other in a row. Between its ends some may be steep or without elevation.
    struct Run {
        std::int64_t row = 0;
        Span cols;
        std::size_t first = 0;  // the number of its first cell that is open
        std::size_t end = 0;    // past that of its last one
    };

    // The site has no given cell. Nothing of it is kept.
    OpenGround(const PadSite& site, const PadRules& rules);

    // In order of row, then column. No others pass the rules of the ground and are kept by the parcel.
    [[nodiscard]] std::span<const OpenCell> cells() const { return m_cells; }
    [[nodiscard]] std::span<const Run> runs() const { return m_runs; }
    // Squared distances of all cells from what a rule that measures asks about, by the number of the rule and the cell.
    [[nodiscard]] std::span<const double> squares(std::size_t rule) const { return m_squares[rule]; }

    // Whether none of the distances of a cell is shorter than these, squared and by rule.
    [[nodiscard]] bool clear(std::size_t number, std::span<const double> shortest) const {
        for (std::size_t rule = 0; rule < shortest.size(); ++rule) {
            if (m_squares[rule][number] < shortest[rule]) {
                return false;
            }
        }
        return true;
    }

    // Of the cell that holds a tank's centre, `shortest` being the squares that keep the tank's ground in that cell
    // away from the shapes wherever in it its centre lies (by rule; tank_clearance). False: the ground, the parcel, its
    // edge or the buildings forbid every place in it. True says nothing.
    [[nodiscard]] bool may_hold(Cell cell, std::span<const double> shortest) const;

private:
    static constexpr std::int32_t kNone = -1;

    struct Scratch;
    void add_run(const PadSite& site, const PadRules& rules, std::int64_t row, const Span& run, Scratch& scratch);

    CellRange m_around;
    CellRange m_own;
    bool m_has_parcel;
    std::vector<OpenCell> m_cells;
    std::vector<Run> m_runs;
    std::vector<std::vector<double>> m_squares;  // by rule
    std::vector<std::int32_t> m_numbers;         // of the own cells, row-major: their place among m_cells
};

// The squares for may_hold, of tanks whose level ground has this radius. Empty where nothing can be said of any cell: a
// tank beyond the parcel's edge may then have its centre in a cell within.
[[nodiscard]] std::vector<double> tank_clearance(double tank_radius_m, const CellSides& sides, const PadRules& rules);

}  // namespace eaveshed
