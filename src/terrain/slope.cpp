#include "eaveshed/terrain/slope.hpp"

#include <algorithm>
#include <limits>

#include "eaveshed/core/error.hpp"
#include "eaveshed/core/lanes.hpp"

namespace eaveshed {

std::int64_t slope_reach(double slope_window_m, double smaller_cell_side_m) {
    if (!(slope_window_m >= 0.0 && smaller_cell_side_m > 0.0)) {
        internal_error("a slope window that is negative, or a cell side that is not positive");
    }
    constexpr double kGuard = 1e-9;
    constexpr double kLargest = std::numeric_limits<std::int32_t>::max();  // far beyond any raster, safe to convert
    const double cells = std::floor(slope_window_m / (2.0 * smaller_cell_side_m) + kGuard);
    return static_cast<std::int64_t>(std::clamp(cells, 1.0, kLargest));
}

namespace {

// What eight times the rise over k cells comes to; NaN where one of the eight is missing: each is in one of the two.
struct Rise {
    double east = 0.0;
    double north = 0.0;
};

// Rows k cells to the north and south of the middle one, at the cell's column.
[[gnu::always_inline]] inline Rise rise_between(const double* north, const double* middle, const double* south,
                                                std::ptrdiff_t k) {
    return {(north[k] + 2.0 * middle[k] + south[k]) - (north[-k] + 2.0 * middle[-k] + south[-k]),
            (north[-k] + 2.0 * north[0] + north[k]) - (south[-k] + 2.0 * south[0] + south[k])};
}

bool has_neighbours(const CellRange& range, std::int64_t row, std::int64_t col, std::int64_t k) {
    return row - k >= range.row_begin && row + k < range.row_end && col - k >= range.col_begin &&
           col + k < range.col_end;
}

const double* cell_of(const RasterPatch& patch, std::int64_t row, std::int64_t col) {
    return patch.values.data() + (row - patch.range.row_begin) * patch.range.cols() + (col - patch.range.col_begin);
}

}  // namespace

std::optional<Gradient> horn_gradient(const RasterPatch& elevation_m, std::int64_t row, std::int64_t col,
                                      std::int64_t k, double cell_width_m, double cell_height_m) {
    if (!has_neighbours(elevation_m.range, row, col, k)) {
        return std::nullopt;
    }
    const double* const middle = cell_of(elevation_m, row, col);
    const std::ptrdiff_t down = k * elevation_m.range.cols();
    const Rise rise = rise_between(middle - down, middle, middle + down, k);
    if (std::isnan(*middle) || std::isnan(rise.east) || std::isnan(rise.north)) {
        return std::nullopt;
    }
    const double weights = 8.0 * static_cast<double>(k);
    return Gradient{rise.east / (weights * cell_width_m), rise.north / (weights * cell_height_m)};
}

namespace {

// A row of cells with all their neighbours. A gradient's slope is the square root of its squares, as Gradient::slope
// says.
EAVESHED_WIDEN void slopes_of_row(const double* middle, std::ptrdiff_t down, std::ptrdiff_t k, double width,
                                  double height, std::size_t count, double* out) {
    for (std::size_t i = 0; i < count; ++i) {
        const Rise rise = rise_between(middle + i - down, middle + i, middle + i + down, k);
        const Gradient gradient{rise.east / width, rise.north / height};
        out[i] = gradient.slope() + (middle[i] - middle[i]);  // NaN where the cell itself is missing
    }
}

}  // namespace

void horn_slopes(const RasterPatch& elevation_m, std::int64_t row, std::int64_t col_begin, std::int64_t k,
                 double cell_width_m, double cell_height_m, std::span<double> slopes) {
    const CellRange& range = elevation_m.range;
    std::ranges::fill(slopes, std::numeric_limits<double>::quiet_NaN());
    if (row - k < range.row_begin || row + k >= range.row_end) {
        return;
    }
    const std::int64_t first = std::max(col_begin, range.col_begin + k);
    const std::int64_t last = std::min(col_begin + static_cast<std::int64_t>(slopes.size()), range.col_end - k);
    const std::ptrdiff_t down = k * range.cols();
    const double weights = 8.0 * static_cast<double>(k);
    const double width = weights * cell_width_m;
    const double height = weights * cell_height_m;
    if (first < last) {
        slopes_of_row(cell_of(elevation_m, row, first), down, k, width, height, static_cast<std::size_t>(last - first),
                      slopes.data() + (first - col_begin));
    }
}

}  // namespace eaveshed
