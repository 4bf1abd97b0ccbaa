// One straight edge: on which side of it a point lies, how far away the point is, and whether a ray meets it. The
// building blocks of every other planar question of this module. All coordinates of one call are in the same frame.
#pragma once

#include <cmath>
#include <cstdint>

#include "eaveshed/core/grid.hpp"

namespace eaveshed {

// The ends may coincide: the edge is then a point.
struct Segment {
    Point from;
    Point to;
};

[[nodiscard]] inline Box bounds(const Segment& edge) {
    return {std::fmin(edge.from.x, edge.to.x), std::fmin(edge.from.y, edge.to.y), std::fmax(edge.from.x, edge.to.x),
            std::fmax(edge.from.y, edge.to.y)};
}

enum class Side : std::int8_t { right = -1, on = 0, left = 1 };

// The same as side_of, always in full precision; side_of comes here only when doubles cannot decide.
[[nodiscard]] Side exact_side_of(const Segment& edge, Point point);

// On which side of the straight line through the edge the point lies, looking from `from` to `to`. Exact for
// coordinates whose products neither overflow nor underflow (magnitudes 1e-100 to 1e100): a filter in doubles, then
// whole expansions (Shewchuk 1997, Adaptive precision floating-point arithmetic and fast robust geometric predicates,
// Discrete & Computational Geometry 18, ORIENT2D).
[[nodiscard]] inline Side side_of(const Segment& edge, Point point) {
    constexpr double kUnit = 0x1p-53;
    constexpr double kErrorBound = (3.0 + 16.0 * kUnit) * kUnit;
    const double left = (edge.from.x - point.x) * (edge.to.y - point.y);
    const double right = (edge.from.y - point.y) * (edge.to.x - point.x);
    const double doubt = kErrorBound * (std::fabs(left) + std::fabs(right));
    if (left - right > doubt) {
        return Side::left;
    }
    if (right - left > doubt) {
        return Side::right;
    }
    return exact_side_of(edge, point);
}

// Square of the distance from the point to the nearest point of the edge. Absolute error of the distance about 1e-16
// times the edge's length.
[[nodiscard]] inline double squared_distance(const Segment& edge, Point point) {
    const double dx = edge.to.x - edge.from.x;
    const double dy = edge.to.y - edge.from.y;
    const double px = point.x - edge.from.x;
    const double py = point.y - edge.from.y;
    const double along = px * dx + py * dy;
    if (along <= 0.0) {
        return px * px + py * py;
    }
    const double length_squared = dx * dx + dy * dy;
    if (along >= length_squared) {
        const double qx = point.x - edge.to.x;
        const double qy = point.y - edge.to.y;
        return qx * qx + qy * qy;
    }
    const double across = dx * py - dy * px;
    return across * across / length_squared;
}

// The point of the edge nearest to a point.
[[nodiscard]] inline Point nearest_point(const Segment& edge, Point point) {
    const double dx = edge.to.x - edge.from.x;
    const double dy = edge.to.y - edge.from.y;
    const double along = (point.x - edge.from.x) * dx + (point.y - edge.from.y) * dy;
    if (along <= 0.0) {
        return edge.from;
    }
    const double length_squared = dx * dx + dy * dy;
    if (along >= length_squared) {
        return edge.to;
    }
    return {edge.from.x + along / length_squared * dx, edge.from.y + along / length_squared * dy};
}

// Counts the edges of closed rings that the ray from a point towards +x meets: odd means inside. Edges are half open in
// y (the lower end counts, the upper does not), so that a vertex is met once; a point on an edge or a vertex is
// noticed, exactly, and is then neither inside nor outside.
class RayCount {
public:
    explicit RayCount(Point point) : m_point(point) {}

    void add(const Segment& edge);
    // Edges in a row of which every point lies to the right of the point: only its two ends matter.
    void add_chain_to_the_right(double first_y, double last_y) {
        m_odd = m_odd != ((first_y > m_point.y) != (last_y > m_point.y));
    }
    [[nodiscard]] Point point() const { return m_point; }
    [[nodiscard]] bool on_edge() const { return m_on_edge; }
    [[nodiscard]] bool inside() const { return m_odd && !m_on_edge; }

private:
    Point m_point;
    bool m_odd = false;
    bool m_on_edge = false;
};

}  // namespace eaveshed
