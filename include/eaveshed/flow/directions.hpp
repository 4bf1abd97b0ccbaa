// Which way the water of each cell goes.
#pragma once

#include <cstdint>
#include <memory_resource>
#include <optional>
#include <vector>

#include "eaveshed/flow/surface.hpp"

namespace eaveshed {

struct FlowDirections {
    Grid grid;
    RowSides sides;
    std::pmr::vector<std::uint8_t> ways;  // one a cell: a way of kWays, kFlowsOut or kNoGround

    // The cell that a cell drains to; none from an outlet that drains off the ground, and from a gap.
    [[nodiscard]] std::optional<CellNumber> downstream(CellNumber cell) const {
        const std::uint8_t way = ways[cell];
        if (way >= kWays.size()) {
            return std::nullopt;
        }
        const std::int64_t step = kWays[way].row * grid.cols + kWays[way].col;
        return static_cast<CellNumber>(static_cast<std::int64_t>(cell) + step);
    }
    // How far away that cell's centre is, m, by the sides of the cell's own row. Only for a cell that has a way.
    [[nodiscard]] double step_m(CellNumber cell) const;
    [[nodiscard]] Cell place_of(CellNumber cell) const { return {cell / grid.cols, cell % grid.cols}; }
};

// Distances to the neighbours: along the row, along the column, across.
struct WayLengths {
    double width_m = 0.0;
    double height_m = 0.0;
    double diagonal_m = 0.0;

    [[nodiscard]] double of(std::size_t way) const {
        return kWays[way].diagonal() ? diagonal_m : (kWays[way].row == 0 ? width_m : height_m);
    }
    [[nodiscard]] bool same_sides(const RowSides& sides, std::int64_t row) const {
        const auto at = static_cast<std::size_t>(row);
        return sides.width_m[at] == width_m && sides.height_m[at] == height_m;
    }
};
[[nodiscard]] WayLengths way_lengths(const RowSides& sides, std::int64_t row);

// D8 (O'Callaghan and Mark 1984, The extraction of drainage networks from digital elevation data, Computer Vision,
// Graphics, and Image Processing 28; from memory): each cell drains to the neighbour with the steepest drop over
// distance, elevations over true sides, in double precision; ties in the order of kWays. A gap and what lies off the
// grid are no neighbours: an outlet drains there where no neighbour is lower.
//
// Flats: of the cells that have no lower neighbour and are no outlet, those beside a cell of their height that drains
// are led to it first, then those beside them, and so on (the gradient towards lower ground of Garbrecht and Martz
// 1997, The assignment of drainage direction over flat surfaces in raster digital elevation models, Journal of
// Hydrology 193; from memory). Of several such neighbours the nearest, ties in the order of kWays. So the water of a
// flat takes the fewest steps to where the flat is left.
//
// `filled` is what fill_depressions gives; where a cell without a way down is left, that is an internal error, and so
// are sides that do not fit or are not above 0. About 5 ns a cell, 1 byte a cell, and 4 for each cell of the widest
// front in a flat. The result does not depend on anything but the numbers.
// method.md 7.14.
template <typename Number>
[[nodiscard]] FlowDirections flow_directions(const Surface<Number>& filled, RowSides sides);

extern template FlowDirections flow_directions(const Surface<float>& filled, RowSides sides);
extern template FlowDirections flow_directions(const Surface<double>& filled, RowSides sides);

}  // namespace eaveshed
