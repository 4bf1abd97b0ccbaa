// Small grounds for tests of filling and flow.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <initializer_list>
#include <limits>
#include <string_view>
#include <vector>

#include "eaveshed/flow/derived_streams.hpp"
#include "eaveshed/flow/directions.hpp"
#include "eaveshed/flow/surface.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed::testing {

inline constexpr double kGap = std::numeric_limits<double>::quiet_NaN();

// Cells of 1 x 1 from (0, rows) downwards.
inline Grid plain_grid(std::int64_t rows, std::int64_t cols) {
    return {0.0, static_cast<double>(rows), 1.0, 1.0, rows, cols};
}

template <typename Number = double>
Surface<Number> ground(std::initializer_list<std::initializer_list<double>> rows) {
    Surface<Number> surface{
        plain_grid(static_cast<std::int64_t>(rows.size()), static_cast<std::int64_t>(rows.begin()->size())), {}};
    for (const auto& row : rows) {
        for (const double elev_m : row) {
            surface.elev_m.push_back(static_cast<Number>(elev_m));
        }
    }
    return surface;
}

// Whole heights below `heights`, so that there are pits, flats and ties everywhere, and some gaps.
template <typename Number>
Surface<Number> random_ground(RandomNumbers& random, int heights, double gap_share) {
    Surface<Number> surface{plain_grid(random.whole(1, 14), random.whole(1, 14)), {}};
    for (std::int64_t i = 0; i < surface.grid.rows * surface.grid.cols; ++i) {
        const double elev_m = random.chance(gap_share) ? kGap : random.whole(0, heights - 1);
        surface.elev_m.push_back(static_cast<Number>(elev_m));
    }
    return surface;
}

// each(neighbour, way) for the neighbours in the grid, written plainly.
template <typename Each>
void visit_around(const Grid& grid, std::size_t cell, Each&& each) {
    const auto cols = static_cast<std::size_t>(grid.cols);
    const Cell here{static_cast<std::int64_t>(cell / cols), static_cast<std::int64_t>(cell % cols)};
    for (std::size_t way = 0; way < kWays.size(); ++way) {
        const Cell to{here.row + kWays[way].row, here.col + kWays[way].col};
        if (grid.holds(to)) {
            each(static_cast<std::size_t>(to.row * grid.cols + to.col), way);
        }
    }
}

// On the grid's edge or beside a gap.
template <typename Number>
bool is_outlet(const Surface<Number>& surface, std::size_t cell) {
    std::size_t ground_around = 0;
    visit_around(surface.grid, cell,
                 [&](std::size_t near, std::size_t) { ground_around += std::isnan(surface.elev_m[near]) ? 0U : 1U; });
    return !std::isnan(surface.elev_m[cell]) && ground_around < kWays.size();
}

// Ways as digits 0 to 7 in the order of kWays, 8 for out and 9 for a gap, row by row.
inline FlowDirections drawn_ways(std::initializer_list<std::string_view> rows, double width_m = 1.0,
                                 double height_m = 1.0) {
    FlowDirections directions;
    directions.grid =
        plain_grid(static_cast<std::int64_t>(rows.size()), static_cast<std::int64_t>(rows.begin()->size()));
    directions.sides = {std::vector<double>(rows.size(), width_m), std::vector<double>(rows.size(), height_m)};
    for (const std::string_view row : rows) {
        for (const char digit : row) {
            directions.ways.push_back(static_cast<std::uint8_t>(digit - '0'));
        }
    }
    return directions;
}

// A valley: two side streams and a short one in the middle meet in row 3 and leave in row 4.
inline FlowDirections valley(double width_m = 1.0, double height_m = 1.0) {
    return drawn_ways({"22222", "12223", "01234", "00244", "00844"}, width_m, height_m);
}

inline DerivedStreams streams_of(const FlowDirections& directions, double stream_area_m2) {
    return derive_streams(directions, accumulate(directions), stream_area_m2);
}

}  // namespace eaveshed::testing
