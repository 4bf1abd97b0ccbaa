#include "eaveshed/shape/outline_samples.hpp"

#include <cmath>
#include <cstdint>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

namespace {

void sample_segment(Point from, Point to, double half_cell, std::vector<Point>& samples) {
    const double dx = to.x - from.x;
    const double dy = to.y - from.y;
    const double steps = std::ceil(std::hypot(dx, dy) / half_cell);
    const auto count = static_cast<std::int64_t>(steps);
    for (std::int64_t i = 0; i < count; ++i) {
        const double share = static_cast<double>(i) / steps;
        samples.push_back({from.x + share * dx, from.y + share * dy});
    }
}

}  // namespace

std::vector<Point> outline_samples(const MultiPolygon& outline, double half_cell) {
    if (!(half_cell > 0.0)) {
        internal_error("outline samples at no distance from each other");
    }
    std::vector<Point> samples;
    for (const Polygon& part : outline.parts) {
        for (std::size_t i = 1; i < part.outer.size(); ++i) {
            sample_segment(part.outer[i - 1], part.outer[i], half_cell, samples);
        }
    }
    return samples;
}

}  // namespace eaveshed
