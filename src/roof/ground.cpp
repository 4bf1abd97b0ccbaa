#include "eaveshed/roof/ground.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "eaveshed/core/quantile.hpp"
#include "eaveshed/shape/outline_samples.hpp"

namespace eaveshed {

std::optional<Ground> ground_along(const MultiPolygon& outline, const SparseRaster& terrain) {
    const double half_cell = 0.5 * terrain.grid().smaller_cell_side();
    std::vector<double> elevations;
    bool gaps = false;
    for (const Point& point : outline_samples(outline, half_cell)) {
        const double elevation = terrain.sample(point);
        if (std::isnan(elevation)) {
            gaps = true;
        } else {
            elevations.push_back(elevation);
        }
    }
    if (elevations.empty()) {
        return std::nullopt;
    }
    std::ranges::sort(elevations);
    return Ground{elevations.front(), median(elevations), elevations.back(), gaps};
}

}  // namespace eaveshed
