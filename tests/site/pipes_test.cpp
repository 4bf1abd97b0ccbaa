#include "eaveshed/site/pipes.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "site/tile_samples.hpp"
#include "support/plain_values.hpp"

namespace eaveshed {
namespace {

// 40 m of ground, 1 m cells, as high as a function of x.
SparseRaster ground(const std::function<double(double x)>& elev_m) {
    return testing::cells({.x_min = 0.0, .y_max = 10.0, .cell_width = 1.0, .cell_height = 1.0, .rows = 10, .cols = 40},
                          [&](Point p) { return elev_m(p.x); });
}

PipeRow line(double from_x, double to_x, double gutter_m, double top_m) {
    PipeRow pipe;
    pipe.place = {{from_x, 5.0}, {to_x, 5.0}};
    pipe.length_m = std::fabs(to_x - from_x);
    pipe.start_elev_m = gutter_m;
    pipe.end_elev_m = top_m;
    return pipe;
}

TEST(FillLine, IsDryWhereItIsShortAndFallsAboveTheGround) {
    const SparseRaster level = ground([](double) { return 100.0; });
    EXPECT_EQ(fill_line(line(5, 15, 103, 102.5), level, 0.5, 12.0), FillLine::dry);
    EXPECT_EQ(fill_line(line(5, 17, 103, 102.5), level, 0.5, 12.0), FillLine::dry);
    EXPECT_EQ(fill_line(line(5, 17.1, 103, 102.5), level, 0.5, 12.0), FillLine::wet);  // long
    EXPECT_EQ(fill_line(line(5, 15, 102.5, 103), level, 0.5, 12.0), FillLine::wet);    // rises
}

TEST(FillLine, IsWetWhereGroundStandsInItsWay) {
    const SparseRaster bank = ground([](double x) { return x > 9.0 && x < 11.0 ? 102.8 : 100.0; });
    EXPECT_EQ(fill_line(line(5, 15, 103, 102.5), bank, 0.5, 12.0), FillLine::wet);
    EXPECT_EQ(fill_line(line(5, 15, 103.5, 103.2), bank, 0.5, 12.0), FillLine::dry);  // over it
}

TEST(FillLine, IsNotGuessedWhereTheElevationsHaveAGap) {
    const SparseRaster gap = ground([](double x) { return x > 8.0 && x < 12.0 ? testing::kNaN : 100.0; });
    EXPECT_EQ(fill_line(line(5, 15, 103, 102.5), gap, 0.5, 12.0), std::nullopt);
    const SparseRaster both =
        ground([](double x) { return x > 8.0 && x < 10.0 ? testing::kNaN : (x > 12.0 ? 104.0 : 100.0); });
    EXPECT_EQ(fill_line(line(5, 15, 103, 102.5), both, 0.5, 12.0), FillLine::wet);  // whatever the gap hides
}

TEST(FillLine, OfAPadIsWetAsSoonAsOneIs) {
    EXPECT_EQ(together(FillLine::dry, FillLine::dry), FillLine::dry);
    EXPECT_EQ(together(FillLine::dry, FillLine::wet), FillLine::wet);
    EXPECT_EQ(together(std::nullopt, FillLine::wet), FillLine::wet);
    EXPECT_EQ(together(std::nullopt, FillLine::dry), std::nullopt);
}

TEST(FillPipe, RunsFromTheNearestPointOfTheRoofToTheTopOfTheTank) {
    const Settings settings = two_options();
    const TileRoof roof = roof_at(100, 100);  // to (110, 110)
    const TileInput tile = tile_with({{std::nullopt, {roof}}}, mean_year(settings));
    Pad pad;
    pad.place.crs = {117.0, 114.0};
    pad.pad_elev_m = 99.0;
    const PipeRow pipe = fill_pipe({.roof = roof,
                                    .eave_elev_m = 103.0,
                                    .pad = pad,
                                    .tanks = {.diameter_m = 1.8, .height_m = 2.0, .count = 1, .reserve_depth_m = 0.0},
                                    .distance_m = std::hypot(7.0, 4.0),
                                    .metres_at = roof.interior},
                                   tile, settings);
    EXPECT_NEAR(pipe.place.from.x, 110.0, 1e-9);
    EXPECT_NEAR(pipe.place.from.y, 110.0, 1e-9);
    EXPECT_EQ(pipe.place.to.x, 117.0);
    EXPECT_EQ(pipe.start_elev_m, 103.0);
    EXPECT_EQ(pipe.end_elev_m, 101.0);
    EXPECT_EQ(pipe.kind, PipeKind::fill);
    EXPECT_EQ(pipe.fill_line, FillLine::wet);  // the ground is at 105.9 there
}

}  // namespace
}  // namespace eaveshed
