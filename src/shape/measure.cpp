#include "eaveshed/shape/measure.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "eaveshed/core/constants.hpp"
#include "eaveshed/shape/segment.hpp"

namespace eaveshed {

namespace {

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

// The ring on one side of an axis-parallel line (Sutherland and Hodgman 1974). Where the ring leaves and comes back it
// runs along the line, there and back where that is outside: without area.
Ring cut(const Ring& ring, double Point::*axis, double limit, bool keep_below) {
    const auto inside = [&](const Point& point) { return keep_below ? point.*axis <= limit : point.*axis >= limit; };
    Ring kept;
    for_each_edge(ring, [&](const Segment& edge) {
        if (inside(edge.from)) {
            kept.push_back(edge.from);
        }
        if (inside(edge.from) != inside(edge.to)) {
            const double share = (limit - edge.from.*axis) / (edge.to.*axis - edge.from.*axis);
            Point crossing{edge.from.x + share * (edge.to.x - edge.from.x),
                           edge.from.y + share * (edge.to.y - edge.from.y)};
            crossing.*axis = limit;
            kept.push_back(crossing);
        }
    });
    if (!kept.empty()) {
        kept.push_back(kept.front());
    }
    return kept;
}

double ring_area_inside(Ring ring, const Box& box) {
    ring = cut(ring, &Point::x, box.x_max, true);
    ring = cut(ring, &Point::x, box.x_min, false);
    ring = cut(ring, &Point::y, box.y_max, true);
    ring = cut(ring, &Point::y, box.y_min, false);
    return ring_area(ring);
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

double planar_area_inside(const MultiPolygon& outline, const Box& box) {
    double area = 0.0;
    for (const Polygon& part : outline.parts) {
        area += ring_area_inside(part.outer, box);
        for (const Ring& hole : part.holes) {
            area -= ring_area_inside(hole, box);
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

std::optional<Point> nearest_point(const MultiPolygon& outline, Point point) {
    if (distance_to_area(outline, point) == 0.0) {
        return point;
    }
    std::optional<Point> nearest;
    double best = std::numeric_limits<double>::infinity();
    for (const Polygon& part : outline.parts) {
        for_each_edge(part, [&](const Segment& edge) {
            if (const double squared = squared_distance(edge, point); squared < best) {
                best = squared;
                nearest = nearest_point(edge, point);
            }
        });
    }
    return nearest;
}

double distance_to_line(const Line& line, Point point) {
    if (line.size() == 1) {
        return std::sqrt(squared_distance(Segment{line.front(), line.front()}, point));
    }
    double least = kInfinity;
    for_each_edge(line, [&](const Segment& edge) { least = std::min(least, squared_distance(edge, point)); });
    return std::sqrt(least);
}

double planar_length(const Line& line) {
    double length = 0.0;
    for (std::size_t i = 0; i + 1 < line.size(); ++i) {
        length += std::hypot(line[i + 1].x - line[i].x, line[i + 1].y - line[i].y);
    }
    return length;
}

}  // namespace eaveshed
