// Outlines for tests that must hold for any outline. The same seed gives the same shapes on every machine with this
// standard library.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <random>
#include <utility>
#include <vector>

#include "eaveshed/shape/polygon.hpp"

namespace eaveshed::testing {

using Random = std::mt19937_64;

inline Random seeded(std::uint64_t seed) {
    return Random(seed);
}

inline double uniform(Random& random, double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
}

inline Point point_in(Random& random, const Box& box) {
    const double x = uniform(random, box.x_min, box.x_max);
    return {x, uniform(random, box.y_min, box.y_max)};
}

// A closed ring seen whole from its centre, with radii between the two given: spiky, never crossing itself. Half of the
// rings have the other direction of turn.
inline Ring star_ring(Random& random, Point centre, double inner_radius, double outer_radius, int vertices) {
    std::vector<double> angles(static_cast<std::size_t>(vertices));
    for (int i = 0; i < vertices; ++i) {
        const double step = 2.0 * std::numbers::pi / vertices;
        angles[static_cast<std::size_t>(i)] = step * (i + uniform(random, 0.1, 0.9));
    }
    Ring ring;
    for (const double angle : angles) {
        const double radius = uniform(random, inner_radius, outer_radius);
        ring.push_back({centre.x + radius * std::cos(angle), centre.y + radius * std::sin(angle)});
    }
    ring.push_back(ring.front());
    if (uniform(random, 0.0, 1.0) < 0.5) {
        std::reverse(ring.begin(), ring.end());
    }
    return ring;
}

// A star with a star-shaped hole, and a second part beside it. Vertices per ring as given, at least 8.
inline MultiPolygon star_outline(Random& random, Point centre, double radius, int vertices) {
    Polygon first{star_ring(random, centre, 0.5 * radius, radius, vertices), {}};
    // A chord between radii of 0.5 stays beyond 0.5 cos(pi/8 x 1.8) = 0.38 when there are at least 8 vertices.
    first.holes.push_back(star_ring(random, centre, 0.1 * radius, 0.35 * radius, vertices));
    const Point beside{centre.x + 2.2 * radius, centre.y + 0.3 * radius};
    return {{first, {star_ring(random, beside, 0.2 * radius, radius, vertices), {}}}};
}

// Coordinates on a lattice of `step`: edges become level or upright, vertices fall on each other's heights.
inline MultiPolygon on_lattice(const MultiPolygon& outline, double step) {
    return mapped(outline, [step](Point point) {
        return Point{step * std::round(point.x / step), step * std::round(point.y / step)};
    });
}

// A ring of level and upright edges only, as a building has: a staircase up and a straight way back.
inline Ring stair_ring(Random& random, Point corner, int steps) {
    Ring ring{corner};
    for (int i = 0; i < steps; ++i) {
        ring.push_back({ring.back().x + std::floor(uniform(random, 1.0, 4.0)), ring.back().y});
        ring.push_back({ring.back().x, ring.back().y + std::floor(uniform(random, 1.0, 4.0))});
    }
    ring.push_back({corner.x, ring.back().y});
    ring.push_back(corner);
    return ring;
}

inline MultiPolygon one(Ring ring) {
    return {{{std::move(ring), {}}}};
}

inline MultiPolygon rectangle(double x_min, double y_min, double x_max, double y_max) {
    return one({{x_min, y_min}, {x_max, y_min}, {x_max, y_max}, {x_min, y_max}, {x_min, y_min}});
}

}  // namespace eaveshed::testing
