#include "eaveshed/vicinity/obstacles.hpp"

#include <algorithm>
#include <utility>

namespace eaveshed {

namespace {

// The runs of edges whose boxes meet `window`, in metres.
void add_chains(const Line& line, const Box& window, const LocalFrame& frame, std::vector<EdgeChain>& chains) {
    Line run;
    const auto finish = [&] {
        if (!run.empty()) {
            chains.emplace_back(std::exchange(run, {}));
        }
    };
    for (std::size_t i = 1; i < line.size(); ++i) {
        Box edge;
        edge.add(line[i - 1]);
        edge.add(line[i]);
        if (!edge.intersects(window)) {
            finish();
            continue;
        }
        if (run.empty()) {
            run.push_back(frame.to_metres(line[i - 1]));
        }
        run.push_back(frame.to_metres(line[i]));
    }
    finish();
}

}  // namespace

Box bounds(const Obstacle& obstacle) {
    if (!obstacle.box.empty()) {
        return obstacle.box;
    }
    Box box = bounds(obstacle.area);
    box.add(bounds(obstacle.line));
    return box;
}

Obstacles::Obstacles(const LocalFrame& frame, const std::vector<const Obstacle*>& obstacles, const Box& around,
                     double reach_m) {
    const Box window = around.grown(reach_m / frame.metres_per_x, reach_m / frame.metres_per_y);
    for (const Obstacle* const obstacle : obstacles) {
        if (!bounds(*obstacle).intersects(window)) {
            continue;
        }
        Shape shape;
        shape.setback_m = obstacle->setback_m;
        add_chains(obstacle->line, window, frame, shape.chains);
        for (const Polygon& part : obstacle->area.parts) {
            add_chains(part.outer, window, frame, shape.chains);
            for (const Ring& hole : part.holes) {
                add_chains(hole, window, frame, shape.chains);
            }
        }
        shape.area = PreparedArea(obstacle->area);
        (obstacle->layer == 0 ? m_streams : m_exclusions).push_back(std::move(shape));
    }
}

bool Obstacles::nearer(const Shape& shape, const Place& place, double pad_radius_m) {
    const double limit = shape.setback_m + pad_radius_m;
    return std::ranges::any_of(
               shape.chains,
               [&](const EdgeChain& chain) { return chain.distance_within(place.metres, limit) < limit; }) ||
           (limit > 0.0 && shape.area.contains(place.crs));
}

bool Obstacles::near_stream(const Place& place, double pad_radius_m) const {
    return std::ranges::any_of(m_streams, [&](const Shape& shape) { return nearer(shape, place, pad_radius_m); });
}

bool Obstacles::near_exclusion(const Place& place, double pad_radius_m) const {
    return std::ranges::any_of(m_exclusions, [&](const Shape& shape) { return nearer(shape, place, pad_radius_m); });
}

}  // namespace eaveshed
