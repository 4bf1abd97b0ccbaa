#include "eaveshed/shape/prepared_area.hpp"

#include "eaveshed/core/constants.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace eaveshed {

namespace {

bool holds(const Box& box, Point point) {
    return point.x >= box.x_min && point.x <= box.x_max && point.y >= box.y_min && point.y <= box.y_max;
}

}  // namespace

PreparedArea::PreparedArea(const MultiPolygon& outline) : m_box(bounds(outline)) {
    m_parts.reserve(outline.parts.size());
    for (const Polygon& polygon : outline.parts) {
        Part part;
        part.rings.reserve(1 + polygon.holes.size());
        part.rings.emplace_back(polygon.outer);
        part.box = part.rings.front().box();
        for (const Ring& hole : polygon.holes) {
            part.rings.emplace_back(hole);
        }
        m_parts.push_back(std::move(part));
    }
}

RayCount PreparedArea::count(const Part& part, Point point) {
    RayCount ray(point);
    for (const EdgeChain& ring : part.rings) {
        ring.count(ray);
    }
    return ray;
}

bool PreparedArea::contains(Point point) const {
    return std::any_of(m_parts.begin(), m_parts.end(),
                       [&](const Part& part) { return holds(part.box, point) && count(part, point).inside(); });
}

bool PreparedArea::touches(Point point) const {
    return std::any_of(m_parts.begin(), m_parts.end(), [&](const Part& part) {
        if (!holds(part.box, point)) {
            return false;
        }
        const RayCount ray = count(part, point);
        return ray.inside() || ray.on_edge();
    });
}

double PreparedArea::squared_distance_below(Point point, double best) const {
    for (const Part& part : m_parts) {
        for (const EdgeChain& ring : part.rings) {
            best = ring.squared_distance_below(point, best);
        }
    }
    return best;
}

double PreparedArea::distance_to_area(Point point) const {
    return touches(point) ? 0.0 : distance_to_edge(point);
}

double PreparedArea::distance_to_area_within(Point point, double limit) const {
    return touches(point) ? 0.0 : distance_to_edge_within(point, limit);
}

double PreparedArea::distance_to_edge(Point point) const {
    return std::sqrt(squared_distance_below(point, kInfinity));
}

double PreparedArea::distance_to_edge_within(Point point, double limit) const {
    const double distance = std::sqrt(squared_distance_below(point, squared_search_limit(limit)));
    if (distance > limit) {
        return kInfinity;
    }
    return distance;
}

}  // namespace eaveshed
