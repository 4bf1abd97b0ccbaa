#include "eaveshed/shape/measure.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "eaveshed/shape/segment.hpp"

namespace eaveshed {

namespace {

constexpr double kInfinity = std::numeric_limits<double>::infinity();

template <typename F>
void for_each_edge(const Line& line, F&& f) {
    for (std::size_t i = 1; i < line.size(); ++i) {
        f(Segment{line[i - 1], line[i]});
    }
}

template <typename F>
void for_each_edge(const Polygon& part, F&& f) {
    for_each_edge(part.outer, f);
    for (const Ring& hole : part.holes) {
        for_each_edge(hole, f);
    }
}

// The shoelace area, taken about the ring's first vertex: far from the origin the products would cancel.
double ring_area(const Ring& ring) {
    double twice = 0.0;
    for_each_edge(ring, [&](const Segment& edge) {
        const Point about = ring.front();
        twice += (edge.from.x - about.x) * (edge.to.y - about.y) - (edge.to.x - about.x) * (edge.from.y - about.y);
    });
    return 0.5 * std::fabs(twice);
}

RayCount count(const Polygon& part, Point point) {
    RayCount ray(point);
    for_each_edge(part, [&](const Segment& edge) { ray.add(edge); });
    return ray;
}

double squared_distance_to_edges(const MultiPolygon& outline, Point point) {
    double least = kInfinity;
    for (const Polygon& part : outline.parts) {
        for_each_edge(part, [&](const Segment& edge) { least = std::min(least, squared_distance(edge, point)); });
    }
    return least;
}

}  // namespace

double planar_area(const MultiPolygon& outline) {
    double area = 0.0;
    for (const Polygon& part : outline.parts) {
        area += ring_area(part.outer);
        for (const Ring& hole : part.holes) {
            area -= ring_area(hole);
        }
    }
    return area;
}

bool contains(const MultiPolygon& outline, Point point) {
    return std::any_of(outline.parts.begin(), outline.parts.end(),
                       [&](const Polygon& part) { return count(part, point).inside(); });
}

double distance_to_area(const MultiPolygon& outline, Point point) {
    for (const Polygon& part : outline.parts) {
        const RayCount ray = count(part, point);
        if (ray.inside() || ray.on_edge()) {
            return 0.0;
        }
    }
    return std::sqrt(squared_distance_to_edges(outline, point));
}

double distance_to_edge(const MultiPolygon& outline, Point point) {
    return std::sqrt(squared_distance_to_edges(outline, point));
}

double distance_to_line(const Line& line, Point point) {
    if (line.size() == 1) {
        return std::sqrt(squared_distance(Segment{line.front(), line.front()}, point));
    }
    double least = kInfinity;
    for_each_edge(line, [&](const Segment& edge) { least = std::min(least, squared_distance(edge, point)); });
    return std::sqrt(least);
}

}  // namespace eaveshed
