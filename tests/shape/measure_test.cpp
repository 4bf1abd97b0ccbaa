#include "eaveshed/shape/measure.hpp"
#include "eaveshed/core/constants.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "shape/random_shapes.hpp"

namespace eaveshed {
namespace {

using testing::point_in;
using testing::Random;
using testing::rectangle;
using testing::star_outline;

// 10 x 10 with a hole 4 x 4 in the middle.
MultiPolygon frame_shape() {
    MultiPolygon outline = rectangle(0.0, 0.0, 10.0, 10.0);
    outline.parts[0].holes.push_back(rectangle(3.0, 3.0, 7.0, 7.0).parts[0].outer);
    return outline;
}

MultiPolygon turned(const MultiPolygon& outline, double angle, Point shift) {
    return mapped(outline, [=](Point point) {
        return Point{shift.x + point.x * std::cos(angle) - point.y * std::sin(angle),
                     shift.y + point.x * std::sin(angle) + point.y * std::cos(angle)};
    });
}

TEST(PlanarAreaInside, IsWorkedOutByHand) {
    EXPECT_DOUBLE_EQ(planar_area_inside(frame_shape(), {-5.0, -5.0, 15.0, 15.0}), 84.0);
    EXPECT_DOUBLE_EQ(planar_area_inside(frame_shape(), {0.0, 0.0, 5.0, 10.0}), 42.0);
    EXPECT_DOUBLE_EQ(planar_area_inside(frame_shape(), {4.0, 4.0, 6.0, 6.0}), 0.0);  // in the hole
    EXPECT_DOUBLE_EQ(planar_area_inside(frame_shape(), {20.0, 0.0, 30.0, 10.0}), 0.0);
    // A U whose legs alone reach into the box: what joins them outside has no area there.
    const MultiPolygon u = testing::one({{0, 0}, {10, 0}, {10, 10}, {7, 10}, {7, 3}, {3, 3}, {3, 10}, {0, 10}, {0, 0}});
    EXPECT_DOUBLE_EQ(planar_area_inside(u, {-1.0, 5.0, 11.0, 8.0}), 18.0);
    EXPECT_EQ(planar_area_inside({}, {0.0, 0.0, 5.0, 10.0}), 0.0);
}

TEST(PlanarAreaInside, OfFourQuartersIsTheWhole) {
    Random random = testing::seeded(21);
    for (int i = 0; i < 300; ++i) {
        const MultiPolygon outline = star_outline(random, {3.0, -2.0}, 10.0, 24);
        const Point at = point_in(random, {-10.0, -15.0, 30.0, 10.0});
        const double far = 1e3;
        const double parts = planar_area_inside(outline, {-far, -far, at.x, at.y}) +
                             planar_area_inside(outline, {at.x, -far, far, at.y}) +
                             planar_area_inside(outline, {-far, at.y, at.x, far}) +
                             planar_area_inside(outline, {at.x, at.y, far, far});
        EXPECT_NEAR(parts, planar_area(outline), 1e-9);
    }
}

TEST(PlanarArea, SubtractsHolesAndAddsParts) {
    EXPECT_DOUBLE_EQ(planar_area(frame_shape()), 84.0);
    MultiPolygon two = frame_shape();
    two.parts.push_back(rectangle(20.0, 0.0, 21.0, 2.0).parts[0]);
    EXPECT_DOUBLE_EQ(planar_area(two), 86.0);
    EXPECT_EQ(planar_area({}), 0.0);
}

// R1.8 (read: worked example on a building-advice page): walls 12 x 6 m with an overhang of 0.40 m all round.
TEST(PlanarArea, OfWallsWithAnOverhangIsTheWorkedExamples) {
    EXPECT_NEAR(planar_area(rectangle(0.0, 0.0, 12.0, 6.0)), 72.0, 1e-12);
    EXPECT_NEAR(planar_area(rectangle(-0.4, -0.4, 12.4, 6.4)), 87.04, 1e-12);
}

TEST(PlanarArea, DoesNotDependOnDirectionStartOrSplitEdges) {
    Random random = testing::seeded(21);
    for (int i = 0; i < 200; ++i) {
        const MultiPolygon outline = star_outline(random, {5e5, 4.4e6}, 30.0, 12);
        const double area = planar_area(outline);
        MultiPolygon other = outline;
        for (Polygon& part : other.parts) {
            std::reverse(part.outer.begin(), part.outer.end());
            part.outer.pop_back();
            std::rotate(part.outer.begin(), part.outer.begin() + 5, part.outer.end());
            part.outer.push_back(part.outer.front());
        }
        EXPECT_NEAR(planar_area(other), area, 1e-9 * area);
        for (Polygon& part : other.parts) {
            Ring split;
            for (std::size_t k = 1; k < part.outer.size(); ++k) {
                const Point a = part.outer[k - 1];
                const Point b = part.outer[k];
                split.push_back(a);
                split.push_back({0.5 * (a.x + b.x), 0.5 * (a.y + b.y)});
            }
            split.push_back(part.outer.back());
            part.outer = split;
        }
        EXPECT_NEAR(planar_area(other), area, 1e-9 * area);
    }
}

TEST(Contains, IsStrict) {
    const MultiPolygon outline = frame_shape();
    EXPECT_TRUE(contains(outline, {1.0, 1.0}));
    EXPECT_FALSE(contains(outline, {11.0, 1.0}));
    EXPECT_FALSE(contains(outline, {5.0, 5.0})) << "in the hole";
    for (const Point edge : {Point{0.0, 5.0}, Point{10.0, 5.0}, Point{5.0, 0.0}, Point{5.0, 10.0}, Point{0.0, 0.0},
                             Point{10.0, 10.0}, Point{3.0, 5.0}, Point{5.0, 7.0}, Point{7.0, 3.0}}) {
        EXPECT_FALSE(contains(outline, edge)) << edge.x << " " << edge.y;
        EXPECT_EQ(distance_to_area(outline, edge), 0.0);
        EXPECT_EQ(distance_to_edge(outline, edge), 0.0);
    }
    EXPECT_FALSE(contains({}, {0.0, 0.0}));
}

TEST(Contains, SeesVerticesOnTheRayOnce) {
    // A diamond, a notch and a level edge, all at the point's height.
    const MultiPolygon diamond = testing::one({{0, -2}, {2, 0}, {0, 2}, {-2, 0}, {0, -2}});
    EXPECT_TRUE(contains(diamond, {0.0, 0.0}));
    EXPECT_FALSE(contains(diamond, {-3.0, 0.0}));
    const MultiPolygon notched = testing::one({{0, 0}, {8, 0}, {8, 4}, {6, 4}, {4, 2}, {2, 4}, {0, 4}, {0, 0}});
    EXPECT_TRUE(contains(notched, {1.0, 2.0}));
    EXPECT_TRUE(contains(notched, {7.0, 2.0}));
    EXPECT_FALSE(contains(notched, {-1.0, 4.0}));
    EXPECT_FALSE(contains(notched, {4.0, 4.0}));
    EXPECT_FALSE(contains(notched, {4.0, 2.0}));
    EXPECT_FALSE(contains(notched, {7.0, 4.0}));
}

// The midpoint of a slanting edge is on it exactly when the coordinates are sums of few powers of two.
TEST(Contains, APointOnASlantingEdgeIsNotInside) {
    Random random = testing::seeded(22);
    std::uniform_int_distribution<int> place(-1000, 1000);
    for (int i = 0; i < 2000; ++i) {
        const Point a{place(random) / 8.0, place(random) / 8.0};
        const Point b{place(random) / 8.0, place(random) / 8.0};
        const Point c{place(random) / 8.0, place(random) / 8.0};
        const Point middle{0.5 * (a.x + b.x), 0.5 * (a.y + b.y)};
        EXPECT_FALSE(contains(testing::one({a, b, c, a}), middle));
        EXPECT_EQ(distance_to_area(testing::one({a, b, c, a}), middle), 0.0);
    }
}

// The winding number by the sum of the angles under which the edges are seen: another method altogether.
TEST(Contains, AgreesWithTheWindingNumberOnRandomStars) {
    Random random = testing::seeded(23);
    for (int i = 0; i < 200; ++i) {
        const Ring ring = testing::star_ring(random, {100.0, -50.0}, 3.0, 40.0, 5 + i % 40);
        for (int k = 0; k < 100; ++k) {
            const Point point = point_in(random, bounds(ring).grown(5.0, 5.0));
            double turn = 0.0;
            for (std::size_t v = 1; v < ring.size(); ++v) {
                const Point a{ring[v - 1].x - point.x, ring[v - 1].y - point.y};
                const Point b{ring[v].x - point.x, ring[v].y - point.y};
                turn += std::atan2(a.x * b.y - a.y * b.x, a.x * b.x + a.y * b.y);
            }
            EXPECT_EQ(contains(testing::one(ring), point), std::lround(turn / (2.0 * std::numbers::pi)) != 0);
        }
    }
}

TEST(Distance, IsZeroInsideAndToTheRimOfAHole) {
    const MultiPolygon outline = frame_shape();
    EXPECT_EQ(distance_to_area(outline, {1.0, 2.0}), 0.0);
    EXPECT_DOUBLE_EQ(distance_to_edge(outline, {1.0, 2.0}), 1.0);
    EXPECT_DOUBLE_EQ(distance_to_area(outline, {5.0, 4.0}), 1.0);
    EXPECT_DOUBLE_EQ(distance_to_area(outline, {13.0, 14.0}), 5.0);
    EXPECT_DOUBLE_EQ(distance_to_edge(outline, {13.0, 14.0}), 5.0);
    EXPECT_EQ(distance_to_area({}, {1.0, 2.0}), kInfinity);
    EXPECT_EQ(distance_to_edge({}, {1.0, 2.0}), kInfinity);
}

TEST(Distance, ToALineIsToItsNearestSegment) {
    const Line bend{{0.0, 0.0}, {10.0, 0.0}, {10.0, 10.0}};
    EXPECT_DOUBLE_EQ(distance_to_line(bend, {4.0, 3.0}), 3.0);
    EXPECT_DOUBLE_EQ(distance_to_line(bend, {13.0, 14.0}), 5.0);
    EXPECT_DOUBLE_EQ(distance_to_line(bend, {8.5, 8.0}), 1.5);
    EXPECT_DOUBLE_EQ(distance_to_line({{3.0, 4.0}}, {0.0, 0.0}), 5.0);
    EXPECT_EQ(distance_to_line({}, {0.0, 0.0}), kInfinity);
}

// Points sampled along the edges are never nearer than the distance, and the nearest of them is within half a step.
TEST(Distance, IsWhatDenseSamplingOfTheEdgesGives) {
    Random random = testing::seeded(24);
    for (int i = 0; i < 40; ++i) {
        const MultiPolygon outline = star_outline(random, {0.0, 0.0}, 20.0, 9);
        for (int k = 0; k < 20; ++k) {
            const Point point = point_in(random, bounds(outline).grown(20.0, 20.0));
            double sampled = kInfinity;
            double longest_step = 0.0;
            const auto sample = [&](const Ring& ring) {
                for (std::size_t v = 1; v < ring.size(); ++v) {
                    const Point a = ring[v - 1];
                    const Point b = ring[v];
                    longest_step = std::max(longest_step, std::hypot(b.x - a.x, b.y - a.y) / 500.0);
                    for (int s = 0; s <= 500; ++s) {
                        const double x = a.x + (b.x - a.x) * s / 500.0;
                        const double y = a.y + (b.y - a.y) * s / 500.0;
                        sampled = std::min(sampled, std::hypot(x - point.x, y - point.y));
                    }
                }
            };
            for (const Polygon& part : outline.parts) {
                sample(part.outer);
                std::for_each(part.holes.begin(), part.holes.end(), sample);
            }
            const double distance = distance_to_edge(outline, point);
            EXPECT_LE(distance, sampled + 1e-9);
            EXPECT_GE(distance, sampled - 0.5 * longest_step - 1e-9);
            EXPECT_EQ(distance_to_area(outline, point), contains(outline, point) ? 0.0 : distance);
        }
    }
}

TEST(Distance, IsKeptWhenShapeAndPointAreTurnedAndMovedTogether) {
    Random random = testing::seeded(25);
    for (int i = 0; i < 100; ++i) {
        const MultiPolygon outline = star_outline(random, {0.0, 0.0}, 20.0, 12);
        const double angle = testing::uniform(random, 0.0, 6.0);
        const Point shift{4.8e5, 4.3e6};
        for (int k = 0; k < 20; ++k) {
            const Point point = point_in(random, bounds(outline).grown(30.0, 30.0));
            const MultiPolygon there = turned(outline, angle, shift);
            const Point moved = turned(testing::one({point}), angle, shift).parts[0].outer[0];
            EXPECT_NEAR(distance_to_area(there, moved), distance_to_area(outline, point), 1e-8);
            EXPECT_NEAR(distance_to_edge(there, moved), distance_to_edge(outline, point), 1e-8);
            EXPECT_NEAR(planar_area(there), planar_area(outline), 1e-6);
        }
    }
}

TEST(PlanarLength, IsThatOfAllEdges) {
    EXPECT_EQ(planar_length({{0.0, 0.0}, {3.0, 4.0}, {3.0, 4.0}, {3.0, -6.0}}), 15.0);
    EXPECT_EQ(planar_length({{7.0, 7.0}}), 0.0);
    EXPECT_EQ(planar_length({}), 0.0);
}

}  // namespace
}  // namespace eaveshed
