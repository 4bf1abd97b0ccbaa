#include "eaveshed/rain/sampling.hpp"

#include "eaveshed/core/error.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <limits>
#include <span>
#include <utility>

namespace eaveshed {

namespace {

bool any_valid(std::span<const double> series) {
    return std::any_of(series.begin(), series.end(), [](double value) { return !std::isnan(value); });
}

using FourSeries = std::array<std::span<const double>, 4>;

FourSeries series_of(const SeriesField& field, const BilinearStencil& stencil) {
    return {field.series(stencil.cells[0]), field.series(stencil.cells[1]), field.series(stencil.cells[2]),
            field.series(stencil.cells[3])};
}

double interpolated(const FourSeries& in, const std::array<double, 4>& weights, std::size_t i) {
    // The plain sum, added as bilinear_value adds; NaN when a neighbour is missing, even one of no weight.
    double value = 0.0 + weights[0] * in[0][i];
    value += weights[1] * in[1][i];
    value += weights[2] * in[2][i];
    value += weights[3] * in[3][i];
    return std::isnan(value) ? bilinear_value({in[0][i], in[1][i], in[2][i], in[3][i]}, weights) : value;
}

std::vector<double> interpolate(const SeriesField& field, const BilinearStencil& stencil) {
    const FourSeries in = series_of(field, stencil);
    std::vector<double> values(field.steps);
    for (std::size_t i = 0; i < field.steps; ++i) {
        values[i] = interpolated(in, stencil.weights, i);
    }
    return values;
}

// Whether `interpolate` would give any value.
bool any_interpolated(const SeriesField& field, const BilinearStencil& stencil) {
    const FourSeries in = series_of(field, stencil);
    for (std::size_t i = 0; i < field.steps; ++i) {
        if (!std::isnan(interpolated(in, stencil.weights, i))) {
            return true;
        }
    }
    return false;
}

// The cells [first, last] along one axis whose centres can lie within reach of a position; empty when first > last.
struct Reach {
    std::int64_t first = 0;
    std::int64_t last = -1;
};

Reach reach_of(double position, std::int64_t begin, std::int64_t end) {
    const double first = std::max(std::ceil(position - kFillReachCells), static_cast<double>(begin));
    const double last = std::min(std::floor(position + kFillReachCells), static_cast<double>(end - 1));
    if (!(first <= last)) {  // also for a position that is no number
        return {};
    }
    return {static_cast<std::int64_t>(first), static_cast<std::int64_t>(last)};
}

// Calls `visit(cell, square of its distance)` for the cells of the window within reach of the point, row by row.
template <typename Visit>
void visit_reach(const FieldFrame& field, Point point, Visit visit) {
    const double row_at = field.grid.row_position(point.y);
    const double col_at = field.grid.col_position(point.x);
    const Reach rows = reach_of(row_at, field.window.row_begin, field.window.row_end);
    const Reach cols = reach_of(col_at, field.window.col_begin, field.window.col_end);
    for (std::int64_t row = rows.first; row <= rows.last; ++row) {
        for (std::int64_t col = cols.first; col <= cols.last; ++col) {
            const double down = static_cast<double>(row) - row_at;
            const double right = static_cast<double>(col) - col_at;
            const double square = down * down + right * right;
            if (square <= kFillReachCells * kFillReachCells) {
                visit(Cell{row, col}, square);
            }
        }
    }
}

std::optional<Cell> nearest_with_data(const SeriesField& field, Point point) {
    std::optional<Cell> best;
    double best_square = std::numeric_limits<double>::infinity();
    visit_reach(field, point, [&](Cell cell, double square) {
        if (square < best_square && any_valid(field.series(cell))) {
            best = cell;
            best_square = square;
        }
    });
    return best;
}

}  // namespace

std::optional<SampledSeries> sample_series(const SeriesField& field, Point point) {
    if (const auto stencil = bilinear_stencil(field.grid, point)) {
        std::vector<double> values = interpolate(field, *stencil);
        if (any_valid(values)) {
            return SampledSeries{std::move(values), false};
        }
    }
    const auto nearest = nearest_with_data(field, point);
    if (!nearest) {
        return std::nullopt;
    }
    const auto series = field.series(*nearest);
    return SampledSeries{{series.begin(), series.end()}, true};
}

namespace {

// Of the points of `stencils` that lie between the same four cells as the one at `which`, each into its lane.
void interpolate_lanes(const FourSeries& in, std::span<const BilinearStencil> stencils, std::size_t which,
                       std::vector<Lanes>& out, Vectors vectors) {
    std::array<Lanes, 4> weights{};
    Lanes member{};
    for (std::size_t k = which; k < stencils.size(); ++k) {
        if (stencils[k].cells == stencils[which].cells) {
            member[k] = 1.0;
            for (std::size_t i = 0; i < weights.size(); ++i) {
                weights[i][k] = stencils[k].weights[i];
            }
        }
    }
    with_vectors(
        vectors, [&]<typename Wide>() __attribute__((always_inline)) {
            const Wide first = Wide::of(weights[0]);
            const Wide second = Wide::of(weights[1]);
            const Wide third = Wide::of(weights[2]);
            const Wide fourth = Wide::of(weights[3]);
            const Wide members = Wide::of(member);
            for (std::size_t step = 0; step < out.size(); ++step) {
                Wide value = Wide::all(0.0) + first * Wide::all(in[0][step]);
                value += second * Wide::all(in[1][step]);
                value += third * Wide::all(in[2][step]);
                value += fourth * Wide::all(in[3][step]);
                where_reached(members, Wide::all(1.0), value, Wide::of(out[step])).to(out[step]);
            }
        });
}

// Where a neighbour is missing, the mean of the others. Whether the lane has any value afterwards.
bool fill_gaps(const FourSeries& in, const std::array<double, 4>& weights, std::size_t lane, std::vector<Lanes>& out) {
    bool any = false;
    for (std::size_t step = 0; step < out.size(); ++step) {
        double& value = out[step][lane];
        if (std::isnan(value)) {
            value = bilinear_value({in[0][step], in[1][step], in[2][step], in[3][step]}, weights);
        }
        any = any || !std::isnan(value);
    }
    return any;
}

}  // namespace

std::array<LaneSample, kLanes> sample_lanes(const SeriesField& field, std::span<const std::optional<Point>> points,
                                            std::vector<Lanes>& out, Vectors vectors) {
    if (points.size() > kLanes) {
        internal_error("more places than lanes");
    }
    out.resize(field.steps);
    std::array<LaneSample, kLanes> samples{};
    std::array<BilinearStencil, kLanes> stencils;
    std::size_t count = 0;
    for (; count < points.size(); ++count) {
        if (const auto stencil = points[count] ? bilinear_stencil(field.grid, *points[count]) : std::nullopt) {
            stencils[count] = *stencil;
            samples[count] = LaneSample::whole;
        }
    }
    if (out.empty()) {
        return {};
    }
    std::array<bool, kLanes> done{};
    for (std::size_t k = 0; k < count; ++k) {
        if (samples[k] != LaneSample::none && !done[k]) {
            interpolate_lanes(series_of(field, stencils[k]), std::span(stencils).first(count), k, out, vectors);
            for (std::size_t other = k; other < count; ++other) {
                done[other] = done[other] || stencils[other].cells == stencils[k].cells;
            }
        }
    }
    Lanes totals;
    with_vectors(
        vectors, [&]<typename Wide>() __attribute__((always_inline)) {
            Wide total = Wide::all(0.0);
            for (const Lanes& depths : out) {
                total += Wide::of(depths);
            }
            total.to(totals);
        });
    for (std::size_t k = 0; k < count; ++k) {
        if (samples[k] == LaneSample::whole && std::isnan(totals[k])) {
            const bool any = fill_gaps(series_of(field, stencils[k]), stencils[k].weights, k, out);
            samples[k] = any ? LaneSample::values : LaneSample::none;
        }
    }
    return samples;
}

void add_sampled_cells(SparseStepField& field, Point point, const ReadSeries& read) {
    const auto add_once = [&](Cell cell) {
        if (!field.has_series(cell)) {
            field.add(cell, read(cell));
        }
    };
    if (const auto stencil = bilinear_stencil(field.grid, point)) {
        std::ranges::for_each(stencil->cells, add_once);
        if (any_interpolated(field, *stencil)) {
            return;
        }
    }
    visit_reach(field, point, [&](Cell cell, double /*square*/) { add_once(cell); });
}

}  // namespace eaveshed
