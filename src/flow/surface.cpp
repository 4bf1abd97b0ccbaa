#include "eaveshed/flow/surface.hpp"

#include <cmath>

namespace eaveshed {

RowSides sides_in_plane(const Grid& grid, double metres_per_unit) {
    constexpr double kNoise = 1e-9;
    const bool square = std::fabs(grid.cell_height - grid.cell_width) < kNoise * grid.cell_width;
    const double height = square ? grid.cell_width : grid.cell_height;
    const auto rows = static_cast<std::size_t>(grid.rows);
    return {std::vector<double>(rows, grid.cell_width * metres_per_unit),
            std::vector<double>(rows, height * metres_per_unit)};
}

RowSides sides_in_degrees(const Grid& grid, const Ellipsoid& ellipsoid) {
    RowSides sides;
    for (std::int64_t row = 0; row < grid.rows; ++row) {
        const MetresPerDegree scale = metres_per_degree(grid.centre({row, 0}).y, ellipsoid);
        sides.width_m.push_back(grid.cell_width * scale.east);
        sides.height_m.push_back(grid.cell_height * scale.north);
    }
    return sides;
}

}  // namespace eaveshed
