#include "eaveshed/terrain/slope.hpp"

#include <algorithm>
#include <limits>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

std::int64_t slope_reach(double slope_window_m, double smaller_cell_side_m) {
    if (!(slope_window_m >= 0.0 && smaller_cell_side_m > 0.0)) {
        internal_error("a slope window that is negative, or a cell side that is not positive");
    }
    constexpr double kGuard = 1.0 + 1e-9;
    constexpr double kLargest = std::numeric_limits<std::int32_t>::max();  // far beyond any raster, safe to convert
    const double cells = std::floor(slope_window_m / (2.0 * smaller_cell_side_m) * kGuard);
    return static_cast<std::int64_t>(std::clamp(cells, 1.0, kLargest));
}

std::optional<Gradient> horn_gradient(const RasterPatch& elevation_m, std::int64_t row, std::int64_t col,
                                      std::int64_t k, double cell_width_m, double cell_height_m) {
    const double north_west = elevation_m.at(row - k, col - k);
    const double north = elevation_m.at(row - k, col);
    const double north_east = elevation_m.at(row - k, col + k);
    const double west = elevation_m.at(row, col - k);
    const double east = elevation_m.at(row, col + k);
    const double south_west = elevation_m.at(row + k, col - k);
    const double south = elevation_m.at(row + k, col);
    const double south_east = elevation_m.at(row + k, col + k);
    const double rise_east = (north_east + 2.0 * east + south_east) - (north_west + 2.0 * west + south_west);
    const double rise_north = (north_west + 2.0 * north + north_east) - (south_west + 2.0 * south + south_east);
    // A missing value is NaN and every one of the eight is in one of the two sums.
    if (std::isnan(elevation_m.at(row, col)) || std::isnan(rise_east) || std::isnan(rise_north)) {
        return std::nullopt;
    }
    const double weights = 8.0 * static_cast<double>(k);
    return Gradient{rise_east / (weights * cell_width_m), rise_north / (weights * cell_height_m)};
}

}  // namespace eaveshed
