// Files that nobody has described: what they turn out to hold.
#include "eaveshed/survey/survey.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <unistd.h>

#include <filesystem>
#include <fstream>

#include "support/edit_file.hpp"
#include "support/expect_error.hpp"
#include "support/raster_file.hpp"
#include "support/temp_folder.hpp"
#include "support/vector_file.hpp"
#include "support/zarr_store.hpp"

namespace eaveshed {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::Not;
using testing::TempFolder;

const FieldSeen& field(const LayerSeen& layer, const std::string& name) {
    const auto found = std::ranges::find(layer.fields, name, &FieldSeen::name);
    EXPECT_NE(found, layer.fields.end()) << name;
    return *found;
}

FileSeen look(const std::string& path) {
    Findings findings;
    return survey(path, findings);
}

std::string square(double x, double side) {
    return "POLYGON((" + std::to_string(x) + " 0," + std::to_string(x + side) + " 0," + std::to_string(x + side) + " " +
           std::to_string(side) + "," + std::to_string(x) + " " + std::to_string(side) + "," + std::to_string(x) +
           " 0))";
}

TEST(Survey, ALayersShapeAreaAndFieldsAreSeen) {
    const TempFolder folder;
    testing::LayerToWrite roofs{.name = "houses", .fields = {{"id"}, {"floors", OFTInteger}, {"note"}}};
    roofs.rows = {{square(500000, 10), {"a", "1", "old"}},
                  {square(500100, 20), {"b", "3", ""}},
                  {square(500200, 30), {"c", std::nullopt, " "}}};
    const testing::LayerToWrite creeks{
        .name = "creeks", .type = wkbLineString, .rows = {{"LINESTRING(500000 0,500100 0)", {}}}};
    testing::write_vector("GPKG", folder.file("a.gpkg"), {roofs, creeks});
    const FileSeen seen = look(folder.file("a.gpkg"));
    EXPECT_EQ(seen.trouble, "");
    ASSERT_EQ(seen.layers.size(), 2U);
    const LayerSeen& layer = seen.layers[0];
    EXPECT_EQ(layer.name, "houses");
    EXPECT_EQ(layer.shape, LayerShape2d::polygons);
    EXPECT_EQ(layer.features, 3);
    EXPECT_NEAR(layer.typical_area_m2.value(), 400.0, 1e-6);
    EXPECT_THAT(layer.crs, HasSubstr("EPSG:32610"));
    EXPECT_NEAR(layer.degrees.value().x_min, -123.0, 0.01);  // the zone's middle meridian
    EXPECT_EQ(field(layer, "id").different, 3U);
    EXPECT_TRUE(field(layer, "floors").numeric());
    EXPECT_EQ(field(layer, "floors").most, 3.0);
    EXPECT_EQ(field(layer, "floors").filled, 2U);
    EXPECT_EQ(field(layer, "note").filled, 1U) << "blanks are no value";
    EXPECT_EQ(seen.layers[1].shape, LayerShape2d::lines);
}

TEST(Survey, ATableWithoutShapesIsALayerOfNone) {
    const TempFolder folder;
    const FileSeen seen = look(folder.write("g.csv", "date,precip_mm\n1991-10-01,0\n1991-10-02,3.5\n"));
    ASSERT_EQ(seen.layers.size(), 1U);
    EXPECT_EQ(seen.layers[0].shape, LayerShape2d::none);
    EXPECT_THAT(field(seen.layers[0], "date").values, ElementsAre("1991-10-01", "1991-10-02"));
    EXPECT_EQ(field(seen.layers[0], "precip_mm").most, 3.5);
}

TEST(Survey, AGridsBandsValuesAndHolesAreSeen) {
    const TempFolder folder;
    testing::write_raster(folder.file("dem.tif"),
                          {.rows = 2, .cols = 2, .bands = {{1, 2, 3, -9999}}, .nodata = -9999.0, .unit = "m"});
    const FileSeen seen = look(folder.file("dem.tif"));
    ASSERT_TRUE(seen.grid) << seen.trouble;
    EXPECT_EQ(seen.grid->steps, StepsSeen::one);
    EXPECT_EQ(seen.grid->least, 1.0);
    EXPECT_EQ(seen.grid->most, 3.0);
    EXPECT_EQ(seen.grid->median, 2.0) << "a hole is no value";
    EXPECT_EQ(seen.grid->unit, "m");
    EXPECT_EQ(seen.grid->cell_m, 1.0);
    EXPECT_FALSE(seen.grid->whole_numbers);
}

TEST(Survey, DatedBandsTellWhetherTheyAreDaysOrMonths) {
    const TempFolder folder;
    testing::RasterSpec spec{.bands = std::vector<std::vector<double>>(14, {1.0})};
    for (int i = 0; i < 14; ++i) {
        spec.descriptions.push_back("1991-10-" + std::string(i < 9 ? "0" : "") + std::to_string(i + 1));
    }
    testing::write_raster(folder.file("days.tif"), spec);
    const GridSeen days = look(folder.file("days.tif")).grid.value();
    EXPECT_EQ(days.steps, StepsSeen::days);
    EXPECT_EQ(days.last.value(), (Date{1991, 10, 14}));
    for (int i = 0; i < 14; ++i) {
        spec.descriptions[static_cast<std::size_t>(i)] =
            std::to_string(1991 + i / 12) + (i % 12 < 9 ? "-0" : "-") + std::to_string(i % 12 + 1);
    }
    testing::write_raster(folder.file("months.tif"), spec);
    EXPECT_EQ(look(folder.file("months.tif")).grid->steps, StepsSeen::months);
    spec.descriptions.clear();
    testing::write_raster(folder.file("undated.tif"), spec);
    EXPECT_EQ(look(folder.file("undated.tif")).grid->steps, StepsSeen::undated);
    spec.bands.resize(12);
    testing::write_raster(folder.file("normals.tif"), spec);
    const GridSeen normals = look(folder.file("normals.tif")).grid.value();
    EXPECT_EQ(normals.steps, StepsSeen::twelve);
    EXPECT_EQ(normals.means, std::vector<double>(12, 1.0));
}

TEST(Survey, WhatCannotBeReadSaysWhyAndStopsNothing) {
    const TempFolder folder;
    EXPECT_THAT(look(folder.write("broken.tif", "no tiff")).trouble, HasSubstr("broken.tif"));
    EXPECT_THAT(look(folder.write("letter.docx", "x")).trouble, HasSubstr("no format"));
    EXPECT_THAT(look(folder.write("empty.gpkg", "")).trouble, HasSubstr("empty"));
}

TEST(Survey, WhatNoProjectReadsIsToldWithTheCommandThatHelps) {
    const TempFolder folder;
    EXPECT_THAT(look(folder.write("septic.zip", "x")).trouble, HasSubstr("unzip septic.zip"));
    EXPECT_THAT(look(folder.write("a.kml", "x")).trouble, HasSubstr("ogr2ogr -f GPKG a.gpkg a.kml"));
    std::filesystem::create_directories(folder.file("x.gdb"));
    EXPECT_THAT(look(folder.file("x.gdb")).trouble, HasSubstr("ogr2ogr -f GPKG x.gpkg x.gdb"));
    EXPECT_THAT(look(folder.write("O'Hara's lot.kml", "x")).trouble, HasSubstr("'O'\\''Hara'\\''s lot.kml'"));
    EXPECT_THAT(look(folder.write("a.bil", "x")).trouble, HasSubstr("gdal_translate a.bil a.tif"));
    EXPECT_THAT(look(folder.write("~$measured.xlsx", "x")).trouble, HasSubstr("open in another program"));
}

TEST(Survey, RemarksAboveATablesHeadingAreNoHeading) {
    const TempFolder folder;
    const FileSeen seen = look(folder.write("g.csv", "# exported\n\ndate,precip_mm\n1991-10-01,0\n1991-10-02,3.5\n"));
    ASSERT_EQ(seen.layers.size(), 1U) << seen.trouble;
    EXPECT_EQ(seen.layers[0].features, 2);
    EXPECT_THAT(field(seen.layers[0], "date").values, ElementsAre("1991-10-01", "1991-10-02"));
    EXPECT_EQ(field(seen.layers[0], "precip_mm").most, 3.5);
}

TEST(Survey, TextOfGaugesIsReadAndGridsAndLayersUnderTheSameNamesAreNot) {
    const TempFolder folder;
    const std::string table = "date\tprecip_mm\n1991-10-01\t0\n1991-10-02\t3.5\n";
    for (const char* const name : {"g.txt", "g.tab"}) {
        const FileSeen seen = look(folder.write(name, table));
        ASSERT_EQ(seen.layers.size(), 1U) << seen.trouble;
        EXPECT_TRUE(seen.only_gauges);
        EXPECT_EQ(field(seen.layers[0], "precip_mm").most, 3.5);
    }
    EXPECT_FALSE(look(folder.write("g.csv", "date,precip_mm\n1991-10-01,0\n")).only_gauges);
    EXPECT_THAT(look(folder.write("lots.tab", "!table\n!version 300\n")).trouble,
                HasSubstr("ogr2ogr -f GPKG lots.gpkg"));
    const FileSeen grid = look(folder.write(
        "dem.txt", "ncols 2\nnrows 2\nxllcorner 0\nyllcorner 0\ncellsize 1\nNODATA_value -9999\n1 2\n3 4\n"));
    EXPECT_TRUE(grid.layers.empty());
    EXPECT_THAT(grid.trouble, Not(HasSubstr("no format")));
}

TEST(Survey, AFileWithoutLayersIsTold) {
    const TempFolder folder;
    const std::string path = folder.file("view.gpkg");
    testing::write_vector("GPKG", path, {{.name = "roofs", .rows = {{square(500000, 10), {}}}}});
    testing::edit_file(path, {"CREATE VIEW seen AS SELECT 1 AS fid, NULL AS geom",
                              "UPDATE gpkg_contents SET table_name = 'seen', identifier = 'seen'",
                              "UPDATE gpkg_geometry_columns SET table_name = 'seen'", "DROP TABLE roofs"});
    EXPECT_THAT(look(path).trouble, HasSubstr("a file without a layer that can be read"));
}

TEST(Survey, AFolderThatCannotBeReadIsTold) {
    namespace fs = std::filesystem;
    const TempFolder folder;
    const std::string closed = folder.file("closed");
    fs::create_directories(closed);
    fs::permissions(folder.path(), static_cast<fs::perms>(0755));
    fs::permissions(closed, fs::perms::none);
    const uid_t self = geteuid();
    if (self == 0) {
        ASSERT_EQ(seteuid(65534), 0);  // root may read anything
    }
    const std::vector<std::string> files = files_to_survey({closed});
    const std::string trouble = files.empty() ? "no file" : look(files.front()).trouble;
    if (self == 0) {
        ASSERT_EQ(seteuid(0), 0);
    }
    fs::permissions(closed, fs::perms::owner_all);
    EXPECT_THAT(trouble, HasSubstr("a folder that cannot be read: Permission denied"));
}

// All of it in one corner, which a look at the other corner alone would miss; of rasters and of arrays.
TEST(Survey, AGridIsLookedAtFromEndToEnd) {
    const TempFolder folder;
    constexpr int kSide = 300;
    std::vector<double> values(static_cast<std::size_t>(kSide) * kSide, 1.0);
    for (int row = kSide - 60; row < kSide; ++row) {
        for (int col = kSide - 60; col < kSide; ++col) {
            values[static_cast<std::size_t>(row) * kSide + static_cast<std::size_t>(col)] = 50.0;
        }
    }
    testing::write_raster(folder.file("dem.tif"), {.rows = kSide, .cols = kSide, .bands = {values}});
    EXPECT_EQ(look(folder.file("dem.tif")).grid.value().most, 50.0);
    testing::NetcdfSpec spec;
    spec.times = {0.0};
    spec.time_units = "days since 1991-10-01";
    spec.units = "kg m-2 s-1";
    spec.longitudes.clear();
    spec.latitudes.clear();
    for (int i = 0; i < kSide; ++i) {
        spec.longitudes.push_back(-123.0 + 0.01 * i);
        spec.latitudes.push_back(40.0 - 0.01 * i);
    }
    spec.stored = values;
    testing::write_zarr(folder.file("rain.zarr"), spec);
    const FileSeen seen = look(folder.file("rain.zarr"));
    ASSERT_TRUE(seen.grid) << seen.trouble;
    EXPECT_EQ(seen.grid->most, 50.0);
}

TEST(Survey, AFolderStandsForItsInputsInOrder) {
    const TempFolder folder;
    for (const char* const name : {"b.tif", "a.shp", "a.dbf", "a.shx", "readme.md", "b.tif.aux.xml"}) {
        folder.write(name, "x");
    }
    using ::testing::EndsWith;
    EXPECT_THAT(files_to_survey({folder.file("")}),
                ElementsAre(EndsWith("a.shp"), EndsWith("b.tif"), EndsWith("readme.md")));
    std::filesystem::create_directories(folder.file("in/deeper"));
    std::filesystem::create_directories(folder.file("x.gdb"));
    folder.write("in/c.tif", "x");
    folder.write("in/deeper/d.tif", "x");
    EXPECT_THAT(files_to_survey({folder.file("")}),
                ElementsAre(EndsWith("a.shp"), EndsWith("b.tif"), EndsWith("readme.md"), EndsWith("x.gdb"),
                            EndsWith("c.tif"), EndsWith("deeper")))
        << "one level of folders, and a geodatabase as one thing";
    testing::expect_input_error([&] { static_cast<void>(files_to_survey({folder.file("none.tif")})); }, {"none.tif"});
}

}  // namespace
}  // namespace eaveshed
