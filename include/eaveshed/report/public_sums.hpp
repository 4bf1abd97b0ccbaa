// Sums that anyone may see: none of fewer than five parcels (without parcels: roofs), nor to be had from two of them by
// taking one from the other.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/drawing/map_frame.hpp"
#include "eaveshed/report/basin_charts.hpp"

namespace eaveshed {

inline constexpr std::size_t kLeastOfACell = 5;

// Whether so many may be told of: none at all, or enough.
[[nodiscard]] constexpr bool may_be_told(std::size_t number) {
    return number == 0 || number >= kLeastOfACell;
}

// Parts of one whole whose sum is told too: parts of too few become one, named `joined`, and where that still is of too
// few the smallest of the others joins it, and so on. Of all in order, that one last. Where the whole has too few there
// is nothing.
struct PublicPart {
    std::string name;
    std::size_t number = 0;
    std::vector<double> sums;  // as many for each part
};
[[nodiscard]] std::vector<PublicPart> joined_parts(std::span<const PublicPart> parts, const std::string& joined);

// A square of the map: how many places lie in it (by the middle of their outline), and the sum of their values.
struct PublicCell {
    Box box;
    std::size_t number = 0;
    double sum = 0.0;
};
struct PublicGrid {
    double side_m = 0.0;
    std::vector<PublicCell> cells;  // those that may be told, from the north-west, row by row
    std::size_t left_out = 0;       // places in cells of too few: none, or as many as may be told of
};
// The smallest round side of at least `least_side_m` for which nine of ten places lie in cells that may be told; of all
// sides up to the whole extent none may do, then the widest. What is left out is never of too few: else the smallest
// cell is left out too.
[[nodiscard]] PublicGrid public_grid(std::span<const Point> places, std::span<const double> values, UnitLengths lengths,
                                     double least_side_m);

// The points of a curve at which at least five more have joined since the one before, and the last with what is left.
[[nodiscard]] GainCurve public_curve(const GainCurve& curve);

}  // namespace eaveshed
