// Contours and shades against closed forms.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <functional>

#include "eaveshed/core/error.hpp"
#include "eaveshed/drawing/contours.hpp"
#include "eaveshed/drawing/hillshade.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

constexpr Grid kGrid{.x_min = 1000.0, .y_max = 5000.0, .cell_width = 2.0, .cell_height = 3.0, .rows = 40, .cols = 50};

RasterPatch surface(const std::function<double(Point)>& height, const Grid& grid = kGrid) {
    RasterPatch patch{{0, grid.rows, 0, grid.cols}, {}};
    for (std::int64_t row = 0; row < grid.rows; ++row) {
        for (std::int64_t col = 0; col < grid.cols; ++col) {
            patch.values.push_back(height(grid.centre({row, col})));
        }
    }
    return patch;
}

TEST(Contours, AreExactOnAPlane) {
    const auto height = [](Point p) { return 0.7 * (p.x - 1000.0) - 0.3 * (p.y - 4900.0); };
    const auto found = contours(kGrid, surface(height), 25.13);
    ASSERT_EQ(found.size(), 1U);
    EXPECT_FALSE(found[0].closed);
    EXPECT_GT(found[0].line.size(), 30U);
    for (const Point& point : found[0].line) {
        EXPECT_NEAR(height(point), 25.13, 1e-9);
    }
    // From edge to edge of the centres.
    for (const Point& end : {found[0].line.front(), found[0].line.back()}) {
        const bool at_edge = std::abs(end.x - 1001.0) < 1e-9 || std::abs(end.x - 1099.0) < 1e-9 ||
                             std::abs(end.y - 4998.5) < 1e-9 || std::abs(end.y - 4881.5) < 1e-9;
        EXPECT_TRUE(at_edge);
    }
}

TEST(Contours, KeepTheHigherGroundToTheirRight) {
    const auto height = [](Point p) { return p.y; };  // higher to the north: lines run west
    const auto found = contours(kGrid, surface(height), 4950.1);
    ASSERT_EQ(found.size(), 1U);
    EXPECT_GT(found[0].line.front().x, found[0].line.back().x);
}

// On a cone of slope 1 the contour h below the top is a circle of radius h. Between two centres a chord of the cone is
// taken, which a cell of side s at radius r misses by at most about s^2 / (8 r) x a small factor.
TEST(Contours, OfAConeAreClosedCircles) {
    const Point top{1050.3, 4940.7};
    const auto height = [&](Point p) { return 100.0 - std::hypot(p.x - top.x, p.y - top.y); };
    const auto found = contours(kGrid, surface(height), 70.0);
    ASSERT_EQ(found.size(), 1U);
    EXPECT_TRUE(found[0].closed);
    EXPECT_EQ(found[0].line.front(), found[0].line.back());
    double area = 0.0;
    for (std::size_t i = 1; i < found[0].line.size(); ++i) {
        const Point& a = found[0].line[i - 1];
        const Point& b = found[0].line[i];
        EXPECT_NEAR(std::hypot(b.x - top.x, b.y - top.y), 30.0, 9.0 / (8.0 * 30.0));
        area += (a.x * b.y - b.x * a.y) / 2.0;
    }
    // Clockwise: higher ground, inside, to the right.
    EXPECT_LT(area, 0.0);
    EXPECT_NEAR(-area, 3.14159265 * 900.0, 30.0);
}

TEST(Contours, CrossEveryEdgeAtTheirLevelOnAnySurface) {
    testing::RandomNumbers random(7);
    Grid grid{.x_min = 0.0, .y_max = 10.0, .cell_width = 1.0, .cell_height = 1.0, .rows = 10, .cols = 10};
    const RasterPatch patch = surface([&](Point) { return random.between(0.0, 1.0); }, grid);
    std::size_t crossings = 0;
    for (std::int64_t row = 0; row < 10; ++row) {
        for (std::int64_t col = 0; col < 10; ++col) {
            const bool above = patch.at(row, col) >= 0.5;
            crossings += col < 9 && above != (patch.at(row, col + 1) >= 0.5) ? 1U : 0U;
            crossings += row < 9 && above != (patch.at(row + 1, col) >= 0.5) ? 1U : 0U;
        }
    }
    std::size_t points = 0;
    for (const Contour& contour : contours(grid, patch, 0.5)) {
        points += contour.line.size() - (contour.closed ? 1U : 0U);
    }
    EXPECT_EQ(points, crossings);
}

TEST(Contours, ASaddleGoesByItsMiddle) {
    const Grid grid{.x_min = 0.0, .y_max = 2.0, .cell_width = 1.0, .cell_height = 1.0, .rows = 2, .cols = 2};
    const RasterPatch high{{0, 2, 0, 2}, {1.0, 0.0, 0.0, 1.0}};  // middle 0.5
    EXPECT_EQ(contours(grid, high, 0.4).size(), 2U);
    // Level 0.4: middle high, so each low corner is cut off alone: both lines are near the low corners.
    for (const Contour& contour : contours(grid, high, 0.4)) {
        for (const Point& point : contour.line) {
            const double to_low =
                std::min(std::hypot(point.x - 1.5, point.y - 1.5), std::hypot(point.x - 0.5, point.y - 0.5));
            EXPECT_NEAR(to_low, 0.4, 1e-12);
        }
    }
}

TEST(Contours, LeaveOutWhatIsNotKnown) {
    RasterPatch patch = surface([](Point p) { return p.x; });
    patch.values[20 * 50 + 25] = kMissing;
    const auto found = contours(kGrid, patch, 1051.5);
    EXPECT_EQ(found.size(), 2U);  // the line is broken at the gap
    EXPECT_TRUE(contours(kGrid, surface([](Point) { return kMissing; }), 1.0).empty());
}

TEST(Contours, StandAtMultiplesOfTheStep) {
    const auto found = all_contours(kGrid, surface([](Point p) { return p.x - 1000.0; }), 20.0);
    ASSERT_EQ(found.size(), 4U);
    EXPECT_DOUBLE_EQ(found.front().level, 20.0);
    EXPECT_DOUBLE_EQ(found.back().level, 80.0);
    EXPECT_THROW((void)all_contours(kGrid, surface([](Point) { return 1.0; }), 0.0), Error);
}

// Flat ground under light 45 degrees high: sin 45. A slope of 100 % to the north-west faces it: 1.
TEST(Hillshade, IsTheCosineBetweenGroundAndLight) {
    const Lighting plain{.darkest = 0, .lightest = 255};
    const Grid square{.x_min = 0.0, .y_max = 10.0, .cell_width = 1.0, .cell_height = 1.0, .rows = 5, .cols = 5};
    const auto middle = [&](const std::function<double(Point)>& height) {
        return static_cast<int>(hillshade(surface(height, square), 1.0, 1.0, plain).grey[12]);
    };
    EXPECT_NEAR(middle([](Point) { return 3.0; }), 255.0 * std::sqrt(0.5), 0.5);
    const double half = std::sqrt(0.5);
    EXPECT_EQ(middle([&](Point p) { return half * p.x - half * p.y; }), 255);  // falls to the north-west
    EXPECT_EQ(middle([&](Point p) { return half * p.y - half * p.x; }), 0);    // falls to the south-east
}

TEST(Hillshade, LeavesOutEdgesAndGaps) {
    const GreyImage image = hillshade(surface([](Point) { return 1.0; }), 2.0, 3.0);
    EXPECT_EQ(image.alpha[0], 0);
    EXPECT_EQ(image.alpha[50 + 1], 255);
    EXPECT_EQ(image.grey.size(), 2000U);
}

}  // namespace
}  // namespace eaveshed
