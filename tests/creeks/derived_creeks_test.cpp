// method.md 7.14: streams that the elevations of a project draw.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <fstream>

#include "creeks/creek_files.hpp"
#include "support/expect_error.hpp"

namespace eaveshed {
namespace {

using ::testing::AllOf;
using ::testing::ElementsAre;
using testing::expect_input_error;
using ::testing::HasSubstr;
using testing::ids_of;
using ::testing::IsEmpty;
using testing::nexts_of;

// Two valleys of 100 m cells that come together and leave in the middle of the southern edge.
class DerivedCreeks : public testing::CreekFiles {
protected:
    static constexpr double kCellM = 100.0;
    DerivedCreeks() {
        write_ground(9, 7, kCellM, [](double east_m, double north_m) {
            return elev_m(6 - static_cast<int>(north_m / kCellM), static_cast<int>(east_m / kCellM));
        });
        write_roof(320.0, 320.0);
    }
    // Down the columns 1 and 5 to row 2, then across to column 3.
    static double elev_m(int row, int col) {
        const int valley = row <= 2 ? 1 : (row == 3 ? 2 : 3);
        const int off = std::min(std::abs(col - valley), std::abs(col - (6 - valley)));
        return 30.0 - row + 5.0 * off;
    }
};

TEST_F(DerivedCreeks, RunDownTheValleys) {
    open("derive = true\nstream_area_km2 = 0.1\n");
    const Creeks creeks = made();
    EXPECT_THAT(ids_of(creeks), ElementsAre("1", "2", "3"));
    EXPECT_THAT(nexts_of(creeks), ElementsAre(2, 2, kNoReach));
    EXPECT_EQ(creeks.tree().strahler(0), 1);
    EXPECT_EQ(creeks.tree().strahler(2), 2);
    // Of each row three cells drain to the western valley and four to the eastern: 10 at least from the fourth row on,
    // and the third.
    EXPECT_EQ(creeks.reaches()[0].line, (Line{at(550, 650), at(550, 550), at(550, 450), at(450, 350), at(350, 250)}));
    EXPECT_EQ(creeks.reaches()[1].line, (Line{at(150, 550), at(150, 450), at(250, 350), at(350, 250)}));
    EXPECT_EQ(creeks.reaches()[2].line, (Line{at(350, 250), at(350, 150), at(350, 50)}));
    EXPECT_NEAR(creeks.reaches()[0].length_m, 200.0 + 2.0 * std::hypot(100.0, 100.0), 1e-9);
    EXPECT_NEAR(creeks.reaches()[2].length_m, 200.0, 1e-9);
    EXPECT_EQ(creeks.reaches()[0].name, "");
    EXPECT_NEAR(creeks.reaches()[2].drained_km2.value(), 0.63, 1e-12);  // all of it
    EXPECT_LT(creeks.reaches()[0].drained_km2.value() + creeks.reaches()[1].drained_km2.value(), 0.63);
    const auto entry = creeks.entry_of(at(50, 650), std::nullopt);
    ASSERT_TRUE(entry);
    EXPECT_EQ(entry->reach, 1U);
    EXPECT_EQ(entry->way, EntryWay::flow);
    EXPECT_THAT(warned() + noted(), IsEmpty());
}

TEST_F(DerivedCreeks, TakeTheNearestReachWhereTheProjectAsksSo) {
    open("derive = true\nstream_area_km2 = 0.1\nentry = \"nearest\"\n");
    const Creeks creeks = made();
    EXPECT_EQ(creeks.reaches().size(), 3U);
    EXPECT_EQ(creeks.ways(), nullptr);
    EXPECT_EQ(creeks.entry_of(at(50, 650), std::nullopt)->way, EntryWay::nearest);
}

TEST_F(DerivedCreeks, AreToldWhereThereAreNone) {
    open("derive = true\nstream_area_km2 = 3\n");
    EXPECT_TRUE(made().empty());
    EXPECT_THAT(warned(), AllOf(HasSubstr("no place that 3 km2"), HasSubstr("streams.stream_area_km2")));
}

TEST_F(DerivedCreeks, AreNotLookedAt) {
    open("derive = true\nstream_area_km2 = 0.1\n");
    EXPECT_TRUE(look_at_creeks(m_project, m_inputs, m_findings).empty());
    EXPECT_THAT(warned() + noted(), IsEmpty());
}

TEST_F(DerivedCreeks, OfAveragedCellsAreCoarser) {
    write_ground(90, 70, 10.0, [](double east_m, double north_m) {
        return elev_m(6 - static_cast<int>(north_m / kCellM), static_cast<int>(east_m / kCellM));
    });
    open("derive = true\nstream_area_km2 = 0.1\nrouting_cell_m = 109\n");
    const Creeks creeks = made();
    EXPECT_EQ(creeks.ways()->grid().rows, 9);
    EXPECT_EQ(creeks.reaches()[0].line, (Line{at(550, 650), at(550, 550), at(550, 450), at(450, 350), at(350, 250)}));
    open("derive = true\nstream_area_km2 = 0.1\n");
    EXPECT_EQ(made().ways()->grid().rows, 90);  // no averages unless they are asked for
}

TEST_F(DerivedCreeks, OfTooManyCellsAreAnInputError) {
    open("derive = true\n");
    m_inputs.rasters["terrain.elevation"].grid.rows = 40000;
    m_inputs.rasters["terrain.elevation"].grid.cols = 40000;
    for (const bool look : {false, true}) {
        expect_input_error([&] { (void)(look ? look_at_creeks(m_project, m_inputs, m_findings) : made()); },
                           {"1600000000 cells", "at most 1000000000", "streams.routing_cell_m", "streams.source"});
    }
}

TEST_F(DerivedCreeks, ThatWouldBeginAlmostEverywhereAreAnInputError) {
    const auto expect_error = [&](bool look) {
        expect_input_error([&] { (void)(look ? look_at_creeks(m_project, m_inputs, m_findings) : made()); },
                           {"dem.tif", "at least 10 cells", "streams.stream_area_km2", "streams.routing_cell_m"});
    };
    open("derive = true\nstream_area_km2 = 0.099\n");
    expect_error(false);
    expect_error(true);
    open("derive = true\nstream_area_km2 = 0.39\nrouting_cell_m = 200\n");
    expect_error(true);
    open("derive = true\nstream_area_km2 = 0.4\nrouting_cell_m = 200\n");
    EXPECT_TRUE(look_at_creeks(m_project, m_inputs, m_findings).empty());
}

TEST_F(DerivedCreeks, TakeMemoryThatIsSaidBefore) {
    open("derive = true\nstream_area_km2 = 0.1\n");
    const auto size = leading_size(m_project, m_inputs);
    ASSERT_TRUE(size);
    EXPECT_EQ(size->cells, 63U);
    EXPECT_EQ(size->bytes, 63U * 14U);
    EXPECT_GE(size->stream_bytes, made().bytes());
    open("derive = true\nstream_area_km2 = 0.6\n");
    EXPECT_LT(leading_size(m_project, m_inputs)->stream_bytes, size->stream_bytes);
}

TEST_F(DerivedCreeks, OverPartsThatCannotBeReadTellThem) {
    testing::RasterSpec spec;
    spec.rows = 128;
    spec.cols = 128;
    spec.transform = {kWest, 10.0, 0.0, kSouth + 1280.0, 0.0, -10.0};
    std::vector<double>& values = spec.bands.emplace_back();
    for (int i = 0; i < 128 * 128; ++i) {
        values.push_back(100.0 + 0.1 * std::abs(i % 128 - 64) - 0.01 * static_cast<double>(i / 128));
    }
    spec.options = {"COMPRESS=DEFLATE", "TILED=YES", "BLOCKXSIZE=64", "BLOCKYSIZE=64"};
    testing::write_raster(m_folder.file("dem.tif"), spec);
    open("derive = true\nstream_area_km2 = 0.1\n");
    EXPECT_EQ(made().reaches().size(), 1U);
    EXPECT_THAT(warned(), IsEmpty());
    // The end of the file, with the last of its four blocks, is another's.
    std::fstream file(m_folder.file("dem.tif"), std::ios::in | std::ios::out | std::ios::binary);
    file.seekp(-400, std::ios::end);
    file << std::string(400, 'x');
    file.close();
    open("derive = true\nstream_area_km2 = 0.1\n");
    EXPECT_FALSE(made().empty());
    EXPECT_THAT(warned(), AllOf(HasSubstr("dem.tif"), HasSubstr("parts that cannot be read")));
}

// In degrees at 60 degrees north, where a cell is half as wide as it is high.
TEST_F(DerivedCreeks, OfElevationsInDegreesHaveTrueLengthsAndAreas) {
    testing::RasterSpec spec;
    spec.crs = "EPSG:4326";
    spec.rows = 40;
    spec.cols = 40;
    spec.transform = {-120.0, 0.001, 0.0, 60.02, 0.0, -0.001};
    std::vector<double>& values = spec.bands.emplace_back();
    for (int row = 0; row < 40; ++row) {
        for (int col = 0; col < 40; ++col) {
            values.push_back(100.0 - row + 3.0 * std::abs(col - 20));
        }
    }
    testing::write_raster(m_folder.file("dem.tif"), spec);
    testing::write_vector("GPKG", m_folder.file("roofs.gpkg"),
                          {{.crs = "EPSG:4326", .rows = {{testing::square_wkt(-119.99, 60.0, 0.0002)}}}});
    open("derive = true\nstream_area_km2 = 0.5\n");
    const Creeks creeks = made();
    ASSERT_EQ(creeks.reaches().size(), 1U);
    const CreekReach& reach = creeks.reaches()[0];
    EXPECT_NEAR(reach.line.back().x, -119.9795, 1e-9);
    EXPECT_NEAR(reach.length_m, geodesic_distance_m(reach.line.front(), reach.line.back(), {}), 0.01);
    // All of the ground but for what the two outer rows of the edge lead off.
    const double whole_m2 = geodesic_area_m2(
        {{{{{-120.0, 59.98}, {-119.96, 59.98}, {-119.96, 60.02}, {-120.0, 60.02}, {-120.0, 59.98}}, {}}}}, {});
    EXPECT_NEAR(reach.drained_km2.value() * 1e6, whole_m2, 0.03 * whole_m2);
    const Point roof{-119.99, 60.0005};  // in the middle of row 19
    const auto entry = creeks.entry_of(roof, std::nullopt);
    ASSERT_TRUE(entry);
    EXPECT_EQ(entry->way, EntryWay::flow);
    EXPECT_NEAR(entry->distance_m, geodesic_distance_m({-119.9895, roof.y}, {-119.9795, roof.y}, {}),
                0.01);  // due east
}

}  // namespace
}  // namespace eaveshed
