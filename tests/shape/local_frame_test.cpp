#include "eaveshed/shape/local_frame.hpp"

#include <geodesic.h>
#include <gtest/gtest.h>

#include <cmath>

#include "eaveshed/core/constants.hpp"
#include "eaveshed/shape/ellipsoid.hpp"
#include "eaveshed/shape/measure.hpp"
#include "shape/random_shapes.hpp"

namespace eaveshed {
namespace {

LocalFrame frame_in_degrees(Point origin) {
    const MetresPerDegree metres = metres_per_degree(origin.y, Ellipsoid{});
    return {origin, metres.east, metres.north};
}

TEST(LocalFrame, GoesThereAndBack) {
    testing::Random random = testing::seeded(61);
    const LocalFrame frame = frame_in_degrees({-123.1, 38.9});
    for (int i = 0; i < 1000; ++i) {
        const Point point = testing::point_in(random, {-123.2, 38.8, -123.0, 39.0});
        const Point back = frame.from_metres(frame.to_metres(point));
        EXPECT_NEAR(back.x, point.x, 1e-12);
        EXPECT_NEAR(back.y, point.y, 1e-12);
    }
    EXPECT_EQ(frame.to_metres(frame.origin), (Point{0.0, 0.0}));
}

// R7.10: the US survey foot is 1200/3937 m and the international foot 0.3048 m, both exact.
TEST(LocalFrame, InFeetIsScaledByTheExactFoot) {
    const Point far{3937.0, -3937.0};
    const Point survey = LocalFrame{{0.0, 0.0}, kMetresPerUsSurveyFoot, kMetresPerUsSurveyFoot}.to_metres(far);
    EXPECT_DOUBLE_EQ(survey.x, 1200.0);
    EXPECT_DOUBLE_EQ(survey.y, -1200.0);
    const Point international = LocalFrame{{0.0, 0.0}, kMetresPerFoot, kMetresPerFoot}.to_metres({5000.0, 0.0});
    EXPECT_DOUBLE_EQ(international.x, 1524.0);
}

TEST(LocalFrame, TakesEveryVertexOfOutlinesAndLines) {
    const LocalFrame frame{{10.0, 20.0}, 2.0, 3.0};
    MultiPolygon outline = testing::rectangle(10.0, 20.0, 20.0, 30.0);
    outline.parts[0].holes.push_back(testing::rectangle(12.0, 22.0, 14.0, 24.0).parts[0].outer);
    EXPECT_DOUBLE_EQ(planar_area(frame.to_metres(outline)), 20.0 * 30.0 - 4.0 * 6.0);
    EXPECT_EQ(frame.to_metres(Line{{11.0, 21.0}, {9.0, 20.0}}), (Line{{2.0, 3.0}, {-2.0, 0.0}}));
}

// Against PROJ's geodesic distance: within the error the header states, for points up to 100 m away at 39 N.
TEST(LocalFrame, OfDegreesGivesGeodesicDistancesAroundItsOrigin) {
    geod_geodesic geodesic{};
    geod_init(&geodesic, Ellipsoid{}.semi_major_m, Ellipsoid{}.flattening);
    testing::Random random = testing::seeded(62);
    const Point origin{-123.1, 38.9};
    const LocalFrame frame = frame_in_degrees(origin);
    for (int i = 0; i < 500; ++i) {
        const Point a = frame.from_metres(testing::point_in(random, {-100.0, -100.0, 100.0, 100.0}));
        const Point b = frame.from_metres(testing::point_in(random, {-100.0, -100.0, 100.0, 100.0}));
        double distance = 0.0;
        geod_inverse(&geodesic, a.y, a.x, b.y, b.x, &distance, nullptr, nullptr);
        const Point p = frame.to_metres(a);
        const Point q = frame.to_metres(b);
        EXPECT_NEAR(std::hypot(p.x - q.x, p.y - q.y), distance, 1.6e-5 * distance);
    }
}

}  // namespace
}  // namespace eaveshed
