#include "eaveshed/shape/edge_chain.hpp"
#include "eaveshed/core/constants.hpp"

#include <gtest/gtest.h>

#include <cstddef>
#include <limits>

#include "eaveshed/shape/measure.hpp"
#include "shape/random_shapes.hpp"

namespace eaveshed {
namespace {

using testing::point_in;
using testing::Random;

TEST(EdgeChain, MeasuresLinesLikeThePlainFunction) {
    Random random = testing::seeded(34);
    for (const std::size_t size : {1U, 2U, 16U, 17U, 18U, 300U}) {
        Line line;
        Point at{0.0, 0.0};
        for (std::size_t i = 0; i < size; ++i) {
            line.push_back(at);
            at = {at.x + testing::uniform(random, -1.0, 4.0), at.y + testing::uniform(random, -3.0, 3.0)};
        }
        const EdgeChain chain(line);
        for (int i = 0; i < 500; ++i) {
            const Point point = point_in(random, bounds(line).grown(10.0, 10.0));
            const double distance = distance_to_line(line, point);
            EXPECT_EQ(chain.distance(point), distance);
            EXPECT_EQ(chain.distance_within(point, distance), distance);
            EXPECT_EQ(chain.distance_within(point, 0.99 * distance), kInfinity);
        }
    }
}

TEST(EdgeChain, OfNothingIsInfinitelyFarAndOfOnePointIsThatPoint) {
    EXPECT_EQ(EdgeChain().distance({0.0, 0.0}), kInfinity);
    EXPECT_EQ(EdgeChain(Line{}).distance_within({0.0, 0.0}, 1e9), kInfinity);
    EXPECT_DOUBLE_EQ(EdgeChain(Line{{3.0, 4.0}}).distance({0.0, 0.0}), 5.0);
}

TEST(EdgeChain, CountsARingForARayLikeItsEdgesOneByOne) {
    Random random = testing::seeded(35);
    for (int i = 0; i < 50; ++i) {
        const MultiPolygon outline = testing::on_lattice(testing::star_outline(random, {0.0, 0.0}, 9.0, 20 + i), 1.0);
        const Ring& ring = outline.parts[0].outer;
        const EdgeChain chain(ring);
        for (int x = -10; x <= 10; ++x) {
            for (int y = -10; y <= 10; ++y) {
                const Point point{static_cast<double>(x), static_cast<double>(y)};
                RayCount by_chain(point);
                RayCount by_edges(point);
                chain.count(by_chain);
                for (std::size_t k = 1; k < ring.size(); ++k) {
                    by_edges.add({ring[k - 1], ring[k]});
                }
                EXPECT_EQ(by_chain.on_edge(), by_edges.on_edge());
                EXPECT_EQ(by_chain.inside(), by_edges.inside());
            }
        }
    }
}

}  // namespace
}  // namespace eaveshed
