// method.md 6.2, 6.3, 6.26: how tanks stand on the ground.
#include "eaveshed/siting/stand.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>

#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

constexpr double kNever = std::numeric_limits<double>::infinity();
constexpr double kSteep = 1e6;  // no slope is too steep
constexpr Cell kMiddle{40, 40};

// Cells of 80 x 80 whose elevations follow from the metres east and north of the middle cell's centre.
struct Ground {
    explicit Ground(const std::function<double(double, double)>& elev_m, double width = 1.0, double height = 1.0)
        : grid{.x_min = 300.0, .y_max = 900.0, .cell_width = width, .cell_height = height, .rows = 80, .cols = 80},
          raster(grid) {
        std::vector<double> values;
        for (std::int64_t row = 0; row < 80; ++row) {
            for (std::int64_t col = 0; col < 80; ++col) {
                values.push_back(elev_m(static_cast<double>(col - kMiddle.col) * width,
                                        static_cast<double>(kMiddle.row - row) * height));
            }
        }
        raster.put_block({0, 0}, values, false);
    }
    [[nodiscard]] SiteTerrain terrain() const { return {raster, {}, {}, {0, 80, 0, 80}, {.slope = 2, .tanks = 20}}; }

    Grid grid;
    SparseRaster raster;
};

PadGround ground_at(const SiteTerrain& terrain, Cell cell = kMiddle) {
    return {cell, terrain.elev_m(cell), terrain.gradient(cell)};
}

TankGround ground_of_tanks(int count, double diameter_m = 3.02) {
    return ground_of({.diameter_m = diameter_m, .height_m = 2.95, .count = count}, 0.3);
}

Ground plane(double east, double north) {
    return Ground([=](double x, double y) { return 100.0 + east * x + north * y; });
}

Ground rough(testing::RandomNumbers& random) {
    const double east = random.between(-0.1, 0.1);
    const double north = random.between(-0.1, 0.1);
    return Ground(
        [&, east, north](double x, double y) { return 100.0 + east * x + north * y + random.between(-0.3, 0.3); },
        random.between(0.7, 2.0), random.between(0.7, 2.0));
}

TEST(Stand, ARowOnAPlaneHasTheElevationOfItsMiddle) {
    const Ground ground = plane(0.06, -0.08);
    const SiteTerrain terrain = ground.terrain();
    for (const int count : {2, 3, 5, 10}) {
        const TankGround size = ground_of_tanks(count);
        const Stand row = Footing(terrain, size).in_a_row(ground_at(terrain));
        ASSERT_EQ(row.tanks.size(), static_cast<std::size_t>(count));
        for (const StandingTank& tank : row.tanks) {
            EXPECT_NEAR(tank.elev_m, 100.0, 1e-9) << "along the contour";
            EXPECT_NEAR(tank.slope, 0.1, 1e-9);
        }
        EXPECT_NEAR(row.level.pad_elev_m, 100.0 - 1.81 * 0.1, 1e-9);
        EXPECT_NEAR(row.level.cut_m, 2.0 * 1.81 * 0.1, 1e-9);
        EXPECT_NEAR(row.row_span_m, (count - 1) * 3.32, 1e-9);
    }
}

TEST(Stand, TanksOfARowStandApartByTheirWidthAndTheMargin) {
    const SiteTerrain terrain = plane(0.06, -0.08).terrain();
    const Stand row = Footing(terrain, ground_of_tanks(5)).in_a_row(ground_at(terrain));
    Point sum;
    for (std::size_t i = 0; i < row.tanks.size(); ++i) {
        const Place& place = row.tanks[i].centre;
        sum = {sum.x + place.metres.x / 5.0, sum.y + place.metres.y / 5.0};
        EXPECT_NEAR(place.crs.x, place.metres.x, 1e-9);
        if (i > 0) {
            const Place& before = row.tanks[i - 1].centre;
            EXPECT_NEAR(std::hypot(place.metres.x - before.metres.x, place.metres.y - before.metres.y), 3.32, 1e-9);
        }
    }
    EXPECT_NEAR(sum.x, terrain.centre(kMiddle).metres.x, 1e-9);
    EXPECT_NEAR(sum.y, terrain.centre(kMiddle).metres.y, 1e-9);
}

TEST(Stand, ARowOfOneTankIsTheSingleTank) {
    testing::RandomNumbers random(7);
    for (int i = 0; i < 50; ++i) {
        const Ground ground = rough(random);
        const SiteTerrain terrain = ground.terrain();
        const Footing footing(terrain, ground_of_tanks(1));
        const Stand single = footing.together(ground_at(terrain));
        const Stand row = footing.in_a_row(ground_at(terrain));
        EXPECT_NEAR(row.level.pad_elev_m, single.level.pad_elev_m, 1e-12);
        EXPECT_NEAR(row.level.cut_m, single.level.cut_m, 1e-12);
        EXPECT_EQ(row.radius_m, single.radius_m);
        EXPECT_EQ(row.row_span_m, 0.0);
        EXPECT_EQ(row.tanks.front().centre.crs, single.tanks.front().centre.crs);
    }
}

TEST(Stand, TheSignOfTheContourChangesNothing) {
    testing::RandomNumbers random(8);
    for (int count = 2; count < 8; ++count) {
        const Ground ground = rough(random);
        const SiteTerrain terrain = ground.terrain();
        const Footing footing(terrain, ground_of_tanks(count));
        PadGround there = ground_at(terrain);
        const Stand one = footing.in_a_row(there);
        there.gradient = Gradient{-there.gradient->east, -there.gradient->north};
        const Stand other = footing.in_a_row(there);
        EXPECT_EQ(one.level.pad_elev_m, other.level.pad_elev_m);
        EXPECT_EQ(one.level.cut_m, other.level.cut_m);
        EXPECT_EQ(one.row_bearing_deg, other.row_bearing_deg);
        EXPECT_EQ(one.tanks.front().centre.crs, other.tanks.back().centre.crs);
    }
}

TEST(Stand, AClusterIsLevelWithTheLowestOfAllItTakes) {
    testing::RandomNumbers random(9);
    for (int i = 0; i < 50; ++i) {
        const Ground ground = rough(random);
        const SiteTerrain terrain = ground.terrain();
        const TankGround size = ground_of_tanks(random.whole(2, 10));
        const PadGround there = ground_at(terrain);
        const Levelled level = Footing(terrain, size).together(there).level;
        const double rise_m = size.pad_radius_m * there.slope();
        EXPECT_LE(level.pad_elev_m, there.elev_m - rise_m);
        EXPECT_GE(level.cut_m, 2.0 * rise_m - 1e-12);
        double lowest_m = there.elev_m - rise_m;
        double highest_m = there.elev_m + rise_m;
        for (std::int64_t row = 0; row < 80; ++row) {
            for (std::int64_t col = 0; col < 80; ++col) {
                const double dx = static_cast<double>(col - kMiddle.col) * ground.grid.cell_width;
                const double dy = static_cast<double>(row - kMiddle.row) * ground.grid.cell_height;
                if (std::hypot(dx, dy) <= size.pad_radius_m) {
                    lowest_m = std::min(lowest_m, terrain.elev_m({row, col}));
                    highest_m = std::max(highest_m, terrain.elev_m({row, col}));
                }
            }
        }
        EXPECT_EQ(level.pad_elev_m, lowest_m);
        EXPECT_EQ(level.cut_m, highest_m - lowest_m);
    }
}

TEST(Stand, ACellOnTheRimOfAClusterBelongsToIt) {
    const Ground ground([](double x, double y) { return x == 3.0 && y == 4.0 ? 99.0 : 100.0; });
    const SiteTerrain terrain = ground.terrain();
    const PadGround level{kMiddle, 100.0, Gradient{}};
    EXPECT_EQ(LevelDisc(terrain.sides(), 5.0).level(terrain, level, kNever).cut_m, 1.0);
    EXPECT_EQ(LevelDisc(terrain.sides(), 4.99).level(terrain, level, kNever).cut_m, 0.0);
}

TEST(Stand, AGapUnderATankOrTheGridsEndLeavesNoLevel) {
    const Ground ground([](double x, double y) { return x == 5.0 && y == 0.0 ? kMissing : 100.0; });
    const SiteTerrain terrain = ground.terrain();
    const Footing five(terrain, ground_of_tanks(5));  // a row from -6.64 m to 6.64 m, a circle of 4.63 m
    EXPECT_TRUE(std::isnan(five.in_a_row({kMiddle, 100.0, Gradient{}}).level.cut_m)) << "its slope needs the gap";
    EXPECT_EQ(five.together({kMiddle, 100.0, Gradient{}}).level.cut_m, 0.0);
    EXPECT_EQ(five.in_a_row({kMiddle, 100.0, Gradient{0.1, 0.0}}).level.cut_m, 0.0) << "it runs north";
    EXPECT_TRUE(std::isnan(five.together({{40, 41}, 100.0, Gradient{}}).level.cut_m));
    EXPECT_TRUE(std::isnan(five.together({{3, 10}, 100.0, Gradient{}}).level.cut_m)) << "the grid ends";
    EXPECT_TRUE(std::isnan(five.in_a_row({{10, 6}, 100.0, Gradient{}}).level.cut_m)) << "the grid ends";
    EXPECT_EQ(five.in_a_row({{10, 9}, 100.0, Gradient{}}).level.cut_m, 0.0);
}

TEST(Stand, ARowIsLevelledAsQuicklyAsExactly) {
    testing::RandomNumbers random(10);
    for (int i = 0; i < 100; ++i) {
        const Ground ground = rough(random);
        const SiteTerrain terrain = ground.terrain();
        const Footing footing(terrain, ground_of_tanks(random.whole(2, 10)));
        const PadGround there = ground_at(terrain);
        const Levelled exact = footing.in_a_row(there).level;
        const TankRow row = footing.row(there);
        EXPECT_EQ(row.level(kSteep, kNever).pad_elev_m, exact.pad_elev_m);
        EXPECT_EQ(row.level(kSteep, kNever).cut_m, exact.cut_m);
        EXPECT_EQ(row.level(kSteep, 0.4).cut_m > 0.4, exact.cut_m > 0.4);
        EXPECT_TRUE(std::isnan(row.level(0.0, kNever).cut_m)) << "too steep";
        const Levelled disc = footing.level_together(there, 0.4);
        EXPECT_EQ(disc.cut_m > 0.4, footing.level_together(there, kNever).cut_m > 0.4);
    }
}

TEST(RowDirection, IsAtRightAnglesToTheGradientAndEastOnLevelGround) {
    EXPECT_EQ(along_contour({}).bearing_deg(), 90.0);
    EXPECT_EQ(along_contour({0.1, 0.0}).bearing_deg(), 0.0);
    EXPECT_EQ(along_contour({-0.1, 0.0}).bearing_deg(), 0.0) << "below 180";
    EXPECT_EQ(along_contour({0.0, 0.1}).bearing_deg(), 90.0);
    EXPECT_NEAR(along_contour({0.1, 0.1}).bearing_deg(), 135.0, 1e-9);
    EXPECT_NEAR(along_contour({0.1, -0.1}).bearing_deg(), 45.0, 1e-9);
    EXPECT_EQ(along_contour({0.1, 1e-12}).bearing_deg(), 0.0) << "rounded to millionths, and 180 is 0";
    EXPECT_NEAR(along_contour({0.3, 0.4}).bearing_deg(), 180.0 - std::atan(4.0 / 3.0) * 180.0 / 3.14159265358979, 1e-6);
}

TEST(CellPosition, IsRoundedToMillionthsBeforeItIsCut) {
    EXPECT_EQ((CellPosition{2.5 - 4e-7, 7.0}.holder()), (Cell{3, 7}));
    EXPECT_EQ((CellPosition{2.5 - 6e-7, 7.49}.holder()), (Cell{2, 7}));
    EXPECT_EQ((CellPosition{-0.5, -0.51}.holder()), (Cell{0, -1}));
}

// A raster in degrees: the row runs by metres at the roof's latitude, and its slope by the row's own.
TEST(Stand, InDegreesARowIsLaidOutInMetres) {
    const TerrainMetric metric{.geographic = true, .metres_per_unit = 1.0, .ellipsoid = {}};
    const double side = 1.0 / 111320.0;
    const Grid grid{.x_min = 20.0, .y_max = -33.0, .cell_width = side, .cell_height = side, .rows = 80, .cols = 80};
    SparseRaster raster(grid);
    std::vector<double> values;
    for (std::int64_t row = 0; row < 80; ++row) {
        for (std::int64_t col = 0; col < 80; ++col) {
            values.push_back(100.0 + 0.05 * static_cast<double>(col) + 0.03 * static_cast<double>(row));
        }
    }
    raster.put_block({0, 0}, values, false);
    const LocalFrame frame = metric.frame_at(grid.centre(kMiddle));
    const SiteTerrain terrain(raster, metric, frame, {0, 80, 0, 80}, {.slope = 1, .tanks = 20});
    const Stand row = Footing(terrain, ground_of_tanks(3)).in_a_row(ground_at(terrain));
    const Place& first = row.tanks.front().centre;
    const Place& last = row.tanks.back().centre;
    EXPECT_NEAR(std::hypot(last.metres.x - first.metres.x, last.metres.y - first.metres.y), 6.64, 1e-9);
    EXPECT_NEAR((last.crs.x - first.crs.x) * frame.metres_per_x, last.metres.x - first.metres.x, 1e-6);
    EXPECT_NEAR((last.crs.y - first.crs.y) * frame.metres_per_y, last.metres.y - first.metres.y, 1e-6);
    EXPECT_LT(frame.metres_per_x, 0.85 * frame.metres_per_y);
    EXPECT_NEAR(row.tanks.front().elev_m, row.tanks[1].elev_m, 1e-6) << "along the contour of a plane";
    EXPECT_NEAR(row.tanks.back().elev_m, row.tanks[1].elev_m, 1e-6);
}

}  // namespace
}  // namespace eaveshed
