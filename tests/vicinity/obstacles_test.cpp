#include "eaveshed/vicinity/obstacles.hpp"

#include <gtest/gtest.h>

#include "eaveshed/shape/measure.hpp"
#include "siting/random_site.hpp"

namespace eaveshed {
namespace {

using testing::RandomNumbers;
using testing::rectangle;

constexpr LocalFrame kFrame{{1000.0, 2000.0}, 1.0, 1.0};
constexpr Box kAround{1000.0, 2000.0, 1050.0, 2050.0};

Place at(double x, double y) {
    return {{x, y}, kFrame.to_metres({x, y})};
}

TEST(Obstacles, KeepAPadItsRadiusAndTheSetbackAway) {
    const Obstacle stream{.layer = 0, .setback_m = 15.0, .line = {{900.0, 2000.0}, {1200.0, 2000.0}}, .area = {}};
    const Obstacles obstacles(kFrame, {&stream}, kAround, 30.0);
    EXPECT_TRUE(obstacles.near_stream(at(1010.0, 2016.9), 2.0));
    EXPECT_FALSE(obstacles.near_stream(at(1010.0, 2017.0), 2.0));  // nearer than, not as near as
    EXPECT_FALSE(obstacles.near_exclusion(at(1010.0, 2000.0), 2.0));
}

TEST(Obstacles, AreNowhereNearerThanInsideAnExclusion) {
    // All edges lie far outside the window: only what lies inside tells.
    const Obstacle plain{.layer = 2, .setback_m = 0.0, .line = {}, .area = rectangle(0.0, 0.0, 9000.0, 9000.0)};
    const Obstacles obstacles(kFrame, {&plain}, kAround, 30.0);
    EXPECT_TRUE(obstacles.near_exclusion(at(1010.0, 2010.0), 1.0));
}

TEST(Obstacles, LeaveTheHoleOfAnExclusionFree) {
    Obstacle ring{.layer = 1, .setback_m = 1.0, .line = {}, .area = rectangle(900.0, 1900.0, 1200.0, 2200.0)};
    ring.area.parts[0].holes.push_back(rectangle(1010.0, 2010.0, 1040.0, 2040.0).parts[0].outer);
    const Obstacles obstacles(kFrame, {&ring}, kAround, 30.0);
    EXPECT_TRUE(obstacles.near_exclusion(at(1005.0, 2025.0), 1.0));
    EXPECT_TRUE(obstacles.near_exclusion(at(1011.9, 2025.0), 1.0));
    EXPECT_FALSE(obstacles.near_exclusion(at(1025.0, 2025.0), 1.0));
}

TEST(Obstacles, MayBeExclusionsThatAreLinesOrPoints) {
    const Obstacle road{.layer = 1, .setback_m = 5.0, .line = {{900.0, 2000.0}, {1200.0, 2000.0}}, .area = {}};
    const Obstacle well{.layer = 2, .setback_m = 10.0, .line = {{1030.0, 2040.0}, {1030.0, 2040.0}}, .area = {}};
    const Obstacles obstacles(kFrame, {&road, &well}, kAround, 30.0);
    EXPECT_TRUE(obstacles.near_exclusion(at(1010.0, 2006.9), 2.0));
    EXPECT_FALSE(obstacles.near_exclusion(at(1010.0, 2007.0), 2.0));
    EXPECT_FALSE(obstacles.near_stream(at(1010.0, 2000.0), 2.0));
    EXPECT_TRUE(obstacles.near_exclusion(at(1030.0, 2028.1), 2.0));
    EXPECT_FALSE(obstacles.near_exclusion(at(1030.0, 2028.0), 2.0));
    EXPECT_TRUE(obstacles.near_exclusion(at(1030.0, 2040.0), 0.5));
}

TEST(Obstacles, AnswerAsTheWholeShapesDo) {
    RandomNumbers random(5);
    const Box wide = kAround.grown(300.0, 300.0);
    const auto point = [&](const Box& box) {
        return Point{random.between(box.x_min, box.x_max), random.between(box.y_min, box.y_max)};
    };
    for (int world = 0; world < 100; ++world) {
        Obstacle stream{.layer = 0, .setback_m = random.between(0.0, 20.0), .line = {}, .area = {}};
        for (int i = 0; i < 40; ++i) {
            stream.line.push_back(point(wide));
        }
        Obstacle area{.layer = 1, .setback_m = random.between(0.0, 20.0), .line = {}, .area = {}};
        const Point corner = point(wide);
        area.area =
            rectangle(corner.x, corner.y, corner.x + random.between(1.0, 200.0), corner.y + random.between(1.0, 200.0));
        const Obstacles obstacles(kFrame, {&stream, &area}, kAround, 25.0);
        for (int i = 0; i < 50; ++i) {
            const Point p = point(kAround);
            const double radius = random.between(0.5, 5.0);
            EXPECT_EQ(obstacles.near_stream(at(p.x, p.y), radius),
                      distance_to_line(stream.line, p) < stream.setback_m + radius);
            EXPECT_EQ(obstacles.near_exclusion(at(p.x, p.y), radius),
                      distance_to_area(area.area, p) < area.setback_m + radius);
        }
    }
}

}  // namespace
}  // namespace eaveshed
