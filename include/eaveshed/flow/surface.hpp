// The ground that water runs over, and the eight ways off a cell.
#pragma once

#include <array>
#include <cstdint>
#include <memory_resource>
#include <vector>

#include "eaveshed/core/grid.hpp"
#include "eaveshed/shape/ellipsoid.hpp"

namespace eaveshed {

// The most cells that are routed: with a rim of one cell they can still be counted in 32 bits, whatever the grid's
// shape. In single precision filling, directions, accumulation and catchments of 100,000,000 were seen to take 1.3 GiB
// at most, the elevations let go after the directions; in degrees it is 8 bytes a cell more.
inline constexpr std::int64_t kMostRoutedCells = 1'000'000'000;

// Elevations, m above datum, row-major from the north-west corner; NaN is a gap. The outlets of a surface are its cells
// on the grid's edge and those beside a gap: from every other cell water has to get to one of them. `Number` is float
// or double: float halves the memory and is right to 1e-7 of an elevation, double keeps what a file holds. Cells are
// counted in 32 bits. Whatever is made of a surface, and is about as large, lies in memory of the same resource, which
// outlives it: on the heap unless something else is asked for.
template <typename Number>
struct Surface {
    Grid grid;
    std::pmr::vector<Number> elev_m;  // grid.rows x grid.cols
};

// How long a cell's sides are on the ground, m, row by row.
struct RowSides {
    std::vector<double> width_m;
    std::vector<double> height_m;

    [[nodiscard]] double area_m2(std::int64_t row) const {
        return width_m[static_cast<std::size_t>(row)] * height_m[static_cast<std::size_t>(row)];
    }
};

// Of a projected raster, whose unit is so many metres. Sides that differ by less than one part in 1e9 are both the
// width: the noise of a file's numbers settles no tie.
[[nodiscard]] RowSides sides_in_plane(const Grid& grid, double metres_per_unit);
// Of a raster in degrees: each row's at the latitude of its centres.
[[nodiscard]] RowSides sides_in_degrees(const Grid& grid, const Ellipsoid& ellipsoid);

// A cell's number: row x cols + col.
using CellNumber = std::uint32_t;

struct CellStep {
    std::int8_t row = 0;
    std::int8_t col = 0;
    [[nodiscard]] bool diagonal() const { return row != 0 && col != 0; }
};

// The eight ways in the order in which ties are settled: E, SE, S, SW, W, NW, N, NE. Way k is the code 2^k of Jenson
// and Domingue 1988.
// method.md 7.14.
inline constexpr std::array<CellStep, 8> kWays{{{0, 1}, {1, 1}, {1, 0}, {1, -1}, {0, -1}, {-1, -1}, {-1, 0}, {-1, 1}}};

// Where a cell's water goes: a way, or one of these.
inline constexpr std::uint8_t kFlowsOut = 8;  // off the grid or into a gap
inline constexpr std::uint8_t kNoGround = 9;  // the cell is a gap

}  // namespace eaveshed
