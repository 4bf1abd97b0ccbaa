#include "eaveshed/shape/prepared_area.hpp"
#include "eaveshed/core/constants.hpp"

#include <gtest/gtest.h>

#include <chrono>
#include <cmath>
#include <limits>
#include <vector>

#include "eaveshed/shape/measure.hpp"
#include "shape/random_shapes.hpp"

namespace eaveshed {
namespace {

using testing::point_in;
using testing::Random;

// The prepared form's answers are the plain ones, digit for digit.
void expect_the_plain_answers(const MultiPolygon& outline, const PreparedArea& prepared, Point point) {
    const double to_area = distance_to_area(outline, point);
    const double to_edge = distance_to_edge(outline, point);
    EXPECT_EQ(prepared.contains(point), contains(outline, point));
    EXPECT_EQ(prepared.distance_to_area(point), to_area);
    EXPECT_EQ(prepared.distance_to_edge(point), to_edge);
    for (const double limit : {0.0, 0.3 * to_edge, to_edge, std::nextafter(to_edge, 0.0), 1.5 * to_edge, kInfinity}) {
        EXPECT_EQ(prepared.distance_to_area_within(point, limit), to_area <= limit ? to_area : kInfinity);
        EXPECT_EQ(prepared.distance_to_edge_within(point, limit), to_edge <= limit ? to_edge : kInfinity);
    }
}

TEST(PreparedArea, GivesThePlainAnswersOnRandomStarsOfAnySize) {
    Random random = testing::seeded(31);
    for (const int vertices : {8, 15, 16, 17, 31, 33, 100, 256, 257, 5000}) {
        const MultiPolygon outline = testing::star_outline(random, {4.8e5, 4.3e6}, 50.0, vertices);
        const PreparedArea prepared(outline);
        const int points = vertices > 1000 ? 100 : 1000;
        for (int i = 0; i < points; ++i) {
            expect_the_plain_answers(outline, prepared, point_in(random, bounds(outline).grown(60.0, 60.0)));
        }
        for (const Point& vertex : outline.parts[0].holes[0]) {
            EXPECT_FALSE(prepared.contains(vertex));
            EXPECT_EQ(prepared.distance_to_area(vertex), 0.0);
        }
    }
}

// On a lattice most points share heights with vertices, many lie on edges, and some edges have no length.
TEST(PreparedArea, GivesThePlainAnswersOnALattice) {
    Random random = testing::seeded(32);
    int on_edges = 0;
    for (int i = 0; i < 20; ++i) {
        const MultiPolygon outline = i % 2 == 0
                                         ? testing::on_lattice(testing::star_outline(random, {0.0, 0.0}, 12.0, 40), 1.0)
                                         : testing::one(testing::stair_ring(random, {-3.0, -3.0}, 30));
        const PreparedArea prepared(outline);
        for (int x = -13; x <= 40; ++x) {
            for (int y = -13; y <= 13; ++y) {
                const Point point{static_cast<double>(x), static_cast<double>(y)};
                expect_the_plain_answers(outline, prepared, point);
                on_edges += distance_to_edge(outline, point) == 0.0 ? 1 : 0;
            }
        }
    }
    EXPECT_GT(on_edges, 1000);
}

TEST(PreparedArea, OfNothingIsNowhere) {
    const PreparedArea nothing{MultiPolygon{}};
    EXPECT_TRUE(nothing.box().empty());
    EXPECT_FALSE(nothing.contains({0.0, 0.0}));
    EXPECT_EQ(nothing.distance_to_area({0.0, 0.0}), kInfinity);
    EXPECT_EQ(nothing.distance_to_edge_within({0.0, 0.0}, 5.0), kInfinity);
    EXPECT_EQ(PreparedArea().distance_to_edge({0.0, 0.0}), kInfinity);
}

// The point of preparing: with a hundred thousand vertices a question costs hundreds of times less than a pass over the
// edges. The bound is a tenth, so that a busy machine does not decide.
TEST(PreparedArea, AnswersLargeOutlinesMuchFasterThanAPassOverTheirEdges) {
    Random random = testing::seeded(33);
    const MultiPolygon outline = testing::one(testing::star_ring(random, {0.0, 0.0}, 990.0, 1000.0, 100000));
    const PreparedArea prepared(outline);
    std::vector<Point> points(50);
    for (Point& point : points) {
        point = point_in(random, {-1100.0, -1100.0, 1100.0, 1100.0});
    }
    const auto seconds = [&](const auto& ask) {
        const auto start = std::chrono::steady_clock::now();
        for (const Point point : points) {
            ask(point);
        }
        return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
    };
    double plain_sum = 0.0;
    double prepared_sum = 0.0;
    const double plain = seconds([&](Point point) { plain_sum += distance_to_area(outline, point); });
    const double quick = seconds([&](Point point) { prepared_sum += prepared.distance_to_area(point); });
    EXPECT_EQ(prepared_sum, plain_sum);
    EXPECT_LT(quick, 0.1 * plain);
}

}  // namespace
}  // namespace eaveshed
