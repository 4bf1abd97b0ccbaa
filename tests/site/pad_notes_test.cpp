// Roads and canopy of a pad. The ground of the tile rises 5 % to the east and 0.1 % to the north.
#include "eaveshed/site/pad_notes.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <functional>

#include "eaveshed/record/values.hpp"
#include "eaveshed/shape/measure.hpp"
#include "eaveshed/tile/evaluate.hpp"
#include "site/tile_samples.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

using testing::RandomNumbers;

constexpr LocalFrame kPlain{{0.0, 0.0}, 1.0, 1.0};

TEST(NearestRoad, IsFoundOnTheEdgeAndNotOnlyAtItsEnds) {
    // Comes from afar on both sides: no vertex is anywhere near.
    const BoxedLines roads({{{-9000.0, 40.0}, {9000.0, 40.0}}, {{0.0, 300.0}, {50.0, 300.0}}});
    const auto road = nearest_road(roads, {17.0, 10.0}, kPlain, 500.0);
    ASSERT_TRUE(road);
    EXPECT_DOUBLE_EQ(road->distance_m, 30.0);
    EXPECT_NEAR(road->place.x, 17.0, 1e-9);
    EXPECT_NEAR(road->place.y, 40.0, 1e-9);
}

TEST(NearestRoad, BeyondTheFarthestIsNone) {
    const BoxedLines roads(std::vector<Line>{{{0.0, 40.0}, {10.0, 40.0}}});
    EXPECT_TRUE(nearest_road(roads, {5.0, 10.0}, kPlain, 30.0));
    EXPECT_FALSE(nearest_road(roads, {5.0, 9.999}, kPlain, 30.0));
    EXPECT_FALSE(nearest_road({}, {5.0, 10.0}, kPlain, 30.0));
}

TEST(NearestRoad, CountsInMetresWhateverTheUnitOfTheMap) {
    // A thousandth of a unit east is 80 m, one north 110 m.
    const LocalFrame frame{{10.0, 45.0}, 80000.0, 110000.0};
    const BoxedLines roads({{{10.001, 44.0}, {10.001, 46.0}}, {{9.0, 45.0005}, {11.0, 45.0005}}});
    const auto road = nearest_road(roads, {10.0, 45.0}, frame, 500.0);
    ASSERT_TRUE(road);
    EXPECT_NEAR(road->distance_m, 55.0, 1e-6);
    EXPECT_NEAR(road->place.y, 45.0005, 1e-12);
}

TEST(NearestRoad, AgreesWithTheDistanceToEachLine) {
    RandomNumbers random(11);
    for (int world = 0; world < 200; ++world) {
        std::vector<Line> roads(3);
        for (Line& road : roads) {
            for (int i = 0; i < 6; ++i) {
                road.push_back({random.between(-300.0, 300.0), random.between(-300.0, 300.0)});
            }
        }
        const Point place{random.between(-100.0, 100.0), random.between(-100.0, 100.0)};
        double least = 1e9;
        for (const Line& road : roads) {
            least = std::min(least, distance_to_line(road, place));
        }
        const auto found = nearest_road(BoxedLines(roads), place, kPlain, 1000.0);
        ASSERT_TRUE(found);
        EXPECT_EQ(found->distance_m, least);
        EXPECT_NEAR(std::hypot(found->place.x - place.x, found->place.y - place.y), least, 1e-9);
    }
}

SparseRaster canopy_cells(double cell_m, const std::function<double(Point)>& height_m) {
    const auto count = static_cast<std::int64_t>(200.0 / cell_m);
    return testing::cells(
        {.x_min = 0.0, .y_max = 200.0, .cell_width = cell_m, .cell_height = cell_m, .rows = count, .cols = count},
        height_m);
}

TEST(CanopyShare, CountsTheCellsWithCentresInTheCircle) {
    // Trees west of x = 100; around (100.5, 100.5) the cells' centres stand at whole metres and a half.
    const SparseRaster canopy = canopy_cells(1.0, [](Point p) { return p.x < 100.0 ? 9.0 : 0.4; });
    // Within 1.0 m: the cell itself and its four neighbours, of which one lies to the west.
    EXPECT_EQ(canopy_share(canopy, {}, kPlain, {{100.5, 100.5}, 1.0}, 2.0), 0.2);
    EXPECT_EQ(canopy_share(canopy, {}, kPlain, {{50.5, 100.5}, 1.0}, 2.0), 1.0);
    EXPECT_EQ(canopy_share(canopy, {}, kPlain, {{150.5, 100.5}, 3.0}, 2.0), 0.0);
    EXPECT_EQ(canopy_share(canopy, {}, kPlain, {{50.5, 100.5}, 1.0}, 9.0), 0.0);  // taller, not as tall
}

TEST(CanopyShare, OfCoarseCellsIsTheOneThatHoldsThePad) {
    const SparseRaster canopy = canopy_cells(20.0, [](Point p) { return p.x < 100.0 ? 9.0 : 0.4; });
    EXPECT_EQ(canopy_share(canopy, {}, kPlain, {{99.0, 101.0}, 2.0}, 2.0), 1.0);
    EXPECT_EQ(canopy_share(canopy, {}, kPlain, {{101.0, 101.0}, 2.0}, 2.0), 0.0);
}

TEST(CanopyShare, LeavesCellsWithoutAValueOut) {
    const SparseRaster canopy =
        canopy_cells(1.0, [](Point p) { return p.x < 100.0 ? std::nan("") : (p.y < 100.0 ? 9.0 : 0.0); });
    const double share = canopy_share(canopy, {}, kPlain, {{100.0, 100.0}, 5.0}, 2.0).value();
    EXPECT_NEAR(share, 0.5, 1e-12);  // the eastern half alone, south and north of the middle
    EXPECT_EQ(canopy_share(canopy, {}, kPlain, {{50.0, 100.0}, 5.0}, 2.0), std::nullopt);
    EXPECT_EQ(canopy_share(canopy, {}, kPlain, {{500.0, 100.0}, 5.0}, 2.0), std::nullopt);
}

// A canopy map turned by a right angle, moved and in another unit: its cells are the same ground.
TEST(CanopyShare, IsTheSameOnATurnedMap) {
    const auto height_m = [](Point p) { return 4.0 + 3.0 * std::sin(p.x / 3.0) * std::cos(p.y / 2.0); };
    const SparseRaster plain = canopy_cells(1.0, height_m);
    // x' = 1000 - 2 y, y' = 2 x: the plane in half metres.
    const PlaneMap turned{{0.0, 0.0}, {1000.0, 0.0}, 0.0, -2.0, 2.0, 0.0};
    const SparseRaster canopy = testing::cells(
        {.x_min = 600.0, .y_max = 400.0, .cell_width = 2.0, .cell_height = 2.0, .rows = 200, .cols = 200},
        [&](Point p) { return height_m(turned.inverse().value()(p)); });
    RandomNumbers random(3);
    for (int i = 0; i < 200; ++i) {
        const PadCircle pad{{random.between(20.0, 180.0), random.between(20.0, 180.0)}, random.between(0.2, 8.0)};
        EXPECT_EQ(canopy_share(canopy, turned, kPlain, pad, 4.5), canopy_share(plain, {}, kPlain, pad, 4.5));
    }
}

class PadNotes : public ::testing::Test {
protected:
    PadNotes() : m_settings(two_options()), m_climate(mean_year(m_settings)) {
        m_parcel.outline = testing::rectangle(60.0, 60.0, 100.0, 100.0);
    }
    TileRows run(const std::vector<Line>& roads) const {
        TileInput tile = tile_with({{m_parcel, {roof_at(100, 100)}}}, m_climate);
        tile.roads = BoxedLines(roads);
        if (m_canopy) {
            tile.canopy = m_canopy;
            tile.sites[0].roofs[0].to_canopy = PlaneMap{};
        }
        return evaluate_tile(tile, m_settings);
    }
    static std::vector<Value> all(const PadRow& row) {
        std::vector<Value> values;
        values_of(row, values);
        return values;
    }

    Settings m_settings;
    RoofClimate m_climate;
    TileParcel m_parcel = parcel_with_measured_use();
    std::optional<SparseRaster> m_canopy;
};

TEST_F(PadNotes, OfRoofAndParcelAreWorkedOutByHand) {
    const TileRows result = run({{{-500.0, 30.0}, {700.0, 30.0}}});
    const PadRow& pad = result.roofs.at(0).pad.value();
    EXPECT_NEAR(pad.road_distance_m.value(), pad.place.y - 30.0, 1e-9);
    EXPECT_NEAR(pad.road_climb_m.value(), pad.pad_elev_m.value() - ground_m({pad.place.x, 30.0}), 1e-9);
    const ParcelRows& parcel = result.parcels.at(0);
    EXPECT_EQ(parcel.pad->road_distance_m, pad.road_distance_m);
    EXPECT_EQ(parcel.parcel.road_distance_m, pad.road_distance_m);
    EXPECT_EQ(parcel.parcel.road_climb_m, pad.road_climb_m);
    EXPECT_EQ(parcel.parcel.canopy_share, std::nullopt);
}

TEST_F(PadNotes, WithoutGroundAtTheRoadTheClimbIsNotKnown) {
    const TileRows result = run({{{-500.0, -30.0}, {700.0, -30.0}}});  // beyond the terrain
    EXPECT_TRUE(result.roofs.at(0).pad->road_distance_m);
    EXPECT_EQ(result.roofs.at(0).pad->road_climb_m, std::nullopt);
    m_settings.roads.max_distance_m = 20.0;
    EXPECT_EQ(run({{{-500.0, -30.0}, {700.0, -30.0}}}).roofs.at(0).pad->road_distance_m, std::nullopt);
}

TEST_F(PadNotes, ChangeNoChoice) {
    const TileRows plain = run({});
    m_canopy = canopy_cells(1.0, [](Point) { return 12.0; });
    TileRows noted = run({{{0.0, 120.0}, {200.0, 100.0}}});
    EXPECT_EQ(noted.parcels.at(0).parcel.canopy_share, 1.0);
    PadRow& pad = noted.roofs.at(0).pad.value();
    EXPECT_EQ(pad.canopy_share, 1.0);
    EXPECT_TRUE(pad.road_distance_m && pad.road_climb_m);
    pad.canopy_share.reset();
    pad.road_distance_m.reset();
    pad.road_climb_m.reset();
    EXPECT_EQ(all(pad), all(*plain.roofs.at(0).pad));
    EXPECT_EQ(noted.roofs.at(0).roof.flags, plain.roofs.at(0).roof.flags);
}

TEST_F(PadNotes, ADamagedBlockOfTheCanopyIsTold) {
    const Grid grid{.x_min = 0.0, .y_max = 200.0, .cell_width = 2.0, .cell_height = 2.0, .rows = 100, .cols = 100};
    m_canopy.emplace(grid);
    m_canopy->put_block({0, 0}, std::vector<double>(100 * 100, std::nan("")), true);
    const TileRows result = run({});
    EXPECT_TRUE(result.roofs.at(0).roof.flags.has(Flag::read_error));
    EXPECT_EQ(result.roofs.at(0).pad->canopy_share, std::nullopt);
}

// What the loader is told to load is enough wherever the pad comes to stand: a cell that was not loaded would stop it.
TEST_F(PadNotes, AskForNoMoreGroundThanIsLoaded) {
    RandomNumbers random(8);
    const Grid grid{
        .x_min = -2000.0, .y_max = 2200.0, .cell_width = 1.0, .cell_height = 1.0, .rows = 4200, .cols = 4200};
    const TerrainMetric metric{};
    const TileRoof roof = roof_at(100, 100);
    for (int world = 0; world < 300; ++world) {
        m_settings.roads.max_distance_m = random.between(50.0, 900.0);
        BoxedLines roads;
        for (int line = 0; line < 2; ++line) {
            Line road;
            for (int i = 0; i < 3; ++i) {
                road.push_back({random.between(-1500.0, 1700.0), random.between(-1500.0, 1700.0)});
            }
            roads.push_back(std::move(road));
        }
        const auto ranges = road_ground_needed(roof, roads, grid, metric, m_settings);
        for (int i = 0; i < 30; ++i) {
            const Point pad{random.between(41.0, 169.0), random.between(41.0, 169.0)};  // max_fill_m around the roof
            const auto road = nearest_road(roads, pad, metric.frame_at(roof.interior), m_settings.roads.max_distance_m);
            const auto stencil = road ? bilinear_stencil(grid, road->place) : std::nullopt;
            for (std::size_t k = 0; stencil && k < 4; ++k) {
                const Cell cell = stencil->cells[k];
                EXPECT_TRUE(std::ranges::any_of(ranges, [&](const CellRange& range) {
                    return cell.row >= range.row_begin && cell.row < range.row_end && cell.col >= range.col_begin &&
                           cell.col < range.col_end;
                }));
            }
        }
    }
}

// A roof of 10 by 10 m in the middle of the raster, which lies in the terrain's CRS.
TileRoof roof_in_the_middle() {
    TileRoof roof = roof_at(95.0, 95.0);
    roof.to_canopy = PlaneMap{};
    return roof;
}

std::optional<double> leaves_of(const std::function<double(Point)>& height_m, double ring_m = 5.0) {
    return leaves_share(canopy_cells(0.5, height_m), roof_in_the_middle(), kPlain, ring_m, 2.0);
}

TEST(LeavesShare, IsOfTheRingAndNotOfTheRoof) {
    const auto on_the_roof = [](Point p) { return std::max(std::abs(p.x - 100.0), std::abs(p.y - 100.0)) < 5.0; };
    EXPECT_EQ(leaves_of([](Point) { return 9.0; }), 1.0);
    EXPECT_EQ(leaves_of([](Point) { return 2.0; }), 0.0);  // not taller
    EXPECT_EQ(leaves_of([&](Point p) { return on_the_roof(p) ? 9.0 : 0.0; }), 0.0);
    EXPECT_EQ(leaves_of([&](Point p) { return on_the_roof(p) ? 0.0 : 9.0; }), 1.0);
    EXPECT_EQ(leaves_of([](Point p) { return p.x < 100.0 ? 9.0 : 0.0; }), 0.5);
    // Beyond the ring nothing counts.
    EXPECT_EQ(leaves_of([](Point p) { return p.x < 89.5 ? 9.0 : 0.0; }), 0.0);
}

TEST(LeavesShare, IsTheShareOfTheRingsArea) {
    // Trees in the strip 3 m wide west of the wall: 10 x 3 m2 of the ring of 4 x 10 x 5 + pi 5^2 = 278.5 m2, and the
    // strips of the corners beside it: 2 x integral of sqrt(25 - x^2) from 0 to 3 = 2 x (6 + 12.5 asin(0.6)) = 28.09.
    const double expected = (30.0 + 28.09) / 278.54;
    EXPECT_NEAR(*leaves_of([](Point p) { return p.x > 92.0 && p.x < 95.0 ? 9.0 : 0.0; }), expected, 0.01);
}

TEST(LeavesShare, LeavesOutWhatIsNotKnownAndNeverGuesses) {
    EXPECT_FALSE(leaves_of([](Point) { return kMissing; }));
    EXPECT_EQ(leaves_of([](Point p) { return p.x < 100.0 ? kMissing : 9.0; }), 1.0);
    TileRoof no_way = roof_in_the_middle();
    no_way.to_canopy.reset();
    EXPECT_FALSE(leaves_share(canopy_cells(1.0, [](Point) { return 9.0; }), no_way, kPlain, 5.0, 2.0));
}

TEST(LeavesShare, NeverFallsWhenTreesGrow) {
    RandomNumbers random(7);
    for (int world = 0; world < 20; ++world) {
        const double edge = random.between(85.0, 115.0);
        const auto trees = [edge](Point p) { return p.y > edge ? 3.0 : 0.5; };
        const auto taller = [&](Point p) { return trees(p) + (p.x > 97.0 ? 2.0 : 0.0); };
        EXPECT_LE(*leaves_of(trees), *leaves_of(taller));
    }
}

TEST(RoofNotes, StandInTheRowAsTheTileGivesIt) {
    const Settings settings = two_options();
    const RoofClimate plain = mean_year(settings);
    TileInput tile = tile_with({{std::nullopt, {roof_in_the_middle()}}}, plain);
    const TileRows nothing = evaluate_tile(tile, settings);
    EXPECT_FALSE(nothing.roofs.at(0).roof.leaves_share);
    EXPECT_FALSE(nothing.roofs.at(0).roof.freeze_months_count);
    tile.canopy = canopy_cells(0.5, [](Point p) { return p.x < 100.0 ? 9.0 : 0.0; });
    // -0.5, -1.5 and -2.5 from January to March.
    std::vector<double> minimum_c;
    for (int month = 0; month < 12; ++month) {
        minimum_c.push_back(month < 3 ? -0.5 - month : 4.0);
    }
    const std::vector<double> depths{100, 100, 100, 100, 100, 100, 100, 0, 0, 0, 0, 0};
    tile.climate = RoofClimate(std::make_shared<RainRecord>(MeanYear(make_normals_timeline(settings.season_months()))),
                               std::make_shared<StepField>(one_cell(depths)), std::make_shared<Et0Basis>(),
                               std::make_shared<StepField>(one_cell(minimum_c)));
    tile.sites.front().roofs.front().climate_place.minimum_temperature = Point{100.0, 100.0};
    const TileRows rows = evaluate_tile(tile, settings);
    EXPECT_EQ(rows.roofs.at(0).roof.leaves_share, 0.5);
    EXPECT_EQ(rows.roofs.at(0).roof.freeze_months_count, 3);
}

}  // namespace
}  // namespace eaveshed
