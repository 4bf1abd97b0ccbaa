#include "geometry.hpp"

#include <algorithm>
#include <cmath>

#include "portable_math.hpp"

namespace demo {

double length(Point a) {
    return std::sqrt(dot(a, a));
}
Point unit(Point a) {
    return a * (1.0 / length(a));
}

double segment_distance(Point p, Point a, Point b) {
    const Point ab = b - a;
    const double l2 = dot(ab, ab);
    const double t = l2 > 0.0 ? std::clamp(dot(p - a, ab) / l2, 0.0, 1.0) : 0.0;
    return length(p - (a + ab * t));
}

double line_length(const Line& line) {
    double sum = 0.0;
    for (std::size_t i = 1; i < line.size(); ++i) {
        sum += length(line[i] - line[i - 1]);
    }
    return sum;
}

double ring_area(const Ring& ring) {
    double twice = 0.0;
    for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) {
        twice += ring[j].x * ring[i].y - ring[i].x * ring[j].y;
    }
    return std::fabs(twice) / 2.0;
}

bool ring_contains(const Ring& ring, Point p) {
    bool inside = false;
    for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) {
        const Point a = ring[i];
        const Point b = ring[j];
        if ((a.y > p.y) != (b.y > p.y) && p.x < a.x + (b.x - a.x) * (p.y - a.y) / (b.y - a.y)) {
            inside = !inside;
        }
    }
    return inside;
}

double ring_edge_distance(const Ring& ring, Point p) {
    double best = 1e30;
    for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) {
        best = std::min(best, segment_distance(p, ring[j], ring[i]));
    }
    return best;
}

Point ring_middle(const Ring& ring) {
    Point sum;
    for (Point p : ring) {
        sum = sum + p;
    }
    return sum * (1.0 / static_cast<double>(ring.size()));
}

Ring rounded_ring(const Ring& ring) {
    Ring out;
    out.reserve(ring.size());
    for (Point p : ring) {
        out.push_back({rounded_to(p.x, 0.01), rounded_to(p.y, 0.01)});
    }
    return out;
}

Point box_to_world(const Box& box, double along, double across) {
    return box.centre + box.along * along + turned_left(box.along) * across;
}

Ring box_ring(const Box& b) {
    return {box_to_world(b, -b.half_length, -b.half_width), box_to_world(b, b.half_length, -b.half_width),
            box_to_world(b, b.half_length, b.half_width), box_to_world(b, -b.half_length, b.half_width)};
}

namespace {
double reach(const Box& box, Point axis) {
    return box.half_length * std::fabs(dot(box.along, axis)) +
           box.half_width * std::fabs(dot(turned_left(box.along), axis));
}
}  // namespace

bool boxes_apart(const Box& a, const Box& b, double gap) {
    for (Point axis : {a.along, turned_left(a.along), b.along, turned_left(b.along)}) {
        if (std::fabs(dot(b.centre - a.centre, axis)) > reach(a, axis) + reach(b, axis) + gap) {
            return true;
        }
    }
    return false;
}

}  // namespace demo
