#include "eaveshed/raster/raster_source.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <limits>
#include <memory>
#include <numeric>
#include <utility>

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "eaveshed/outside/gdal_crs.hpp"
#include "support/expect_error.hpp"
#include "support/raster_file.hpp"
#include "support/shared_data.hpp"
#include "support/sparse_raster.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using ::testing::AllOf;
using ::testing::DoubleEq;
using ::testing::DoubleNear;
using ::testing::ElementsAre;
using testing::expect_input_error;
using ::testing::HasSubstr;
using ::testing::IsNan;
using testing::RasterSpec;
using testing::TempFolder;
using testing::write_raster;

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();
const std::string kSetting = "terrain.elevation";

RasterRequest request_in(VerticalUnit unit) {
    RasterRequest request = elevation_request({});
    request.unit = unit;
    return request;
}

RasterSource open(const std::vector<std::string>& paths, VerticalUnit unit = VerticalUnit::from_file) {
    Findings findings;
    return RasterSource::open(kSetting, paths, request_in(unit), findings);
}

std::vector<double> all_of(RasterSource& source) {
    bool damaged = false;
    const Grid& grid = source.info().grid;
    std::vector<double> values = source.read({0, grid.rows, 0, grid.cols}, damaged);
    EXPECT_FALSE(damaged);
    return values;
}

std::vector<double> counted(int count) {
    std::vector<double> values(static_cast<std::size_t>(count));
    std::iota(values.begin(), values.end(), 1.0);
    return values;
}

RasterSpec two_by_three() {
    return {.rows = 2, .cols = 3, .bands = {counted(6)}};
}

class RasterSourceTest : public ::testing::Test {
protected:
    std::string write(const RasterSpec& spec, const std::string& name = "dem.tif") const {
        write_raster(m_folder.file(name), spec);
        return m_folder.file(name);
    }
    std::vector<double> values(const RasterSpec& spec, VerticalUnit unit = VerticalUnit::from_file) const {
        RasterSource source = open({write(spec)}, unit);
        return all_of(source);
    }
    TempFolder m_folder;
};

// A file of a few hundred bytes, most of whose cells it does not hold.
std::string write_sparse(const TempFolder& folder, int block_side, int bands, const char* interleave) {
    GdalSession::start();
    const std::string path = folder.file("sparse.tif");
    const std::string side = std::to_string(block_side);
    CPLStringList options;
    for (const char* const name : {"BLOCKXSIZE", "BLOCKYSIZE"}) {
        options.SetNameValue(name, side.c_str());
    }
    options.SetNameValue("TILED", "YES");
    options.SetNameValue("SPARSE_OK", "YES");
    options.SetNameValue("COMPRESS", "DEFLATE");
    options.SetNameValue("INTERLEAVE", interleave);
    const std::unique_ptr<GDALDataset> file(GetGDALDriverManager()->GetDriverByName("GTiff")->Create(
        path.c_str(), block_side, block_side, bands, GDT_Float32, options.List()));
    std::array<double, 6> transform{500000.0, 1.0, 0.0, 4000000.0, 0.0, -1.0};
    file->SetGeoTransform(transform.data());
    OGRSpatialReference srs;
    srs.importFromEPSG(32610);
    file->SetSpatialRef(&srs);
    return path;
}

TEST_F(RasterSourceTest, RefusesBlocksThatNoMemoryHolds) {
    expect_input_error([&] { static_cast<void>(open({write_sparse(m_folder, 32768, 1, "BAND")})); },
                       {"sparse.tif", "32768 x 32768", "4096 MiB", "TILED=YES"});
    expect_input_error([&] { static_cast<void>(open({write_sparse(m_folder, 8192, 5, "PIXEL")})); },
                       {"8192 x 8192 numbers in 5 bands together", "1280 MiB"});
    write_sparse(m_folder, 32768, 1, "BAND");
    const std::string vrt = m_folder.write(
        "dem.vrt",
        "<VRTDataset rasterXSize=\"32768\" rasterYSize=\"32768\"><SRS>EPSG:32610</SRS><GeoTransform>500000, 1, 0, "
        "4000000, 0, -1</GeoTransform><VRTRasterBand dataType=\"Float32\" band=\"1\"><SimpleSource><SourceFilename "
        "relativeToVRT=\"1\">sparse.tif</SourceFilename><SourceBand>1</SourceBand></SimpleSource></VRTRasterBand>"
        "</VRTDataset>");
    expect_input_error([&] { static_cast<void>(open({vrt})); }, {"dem.vrt", "sparse.tif", "4096 MiB"});
    // What is refused later has other reasons.
    const auto refusal = [&](const std::string& path) -> std::string {
        try {
            static_cast<void>(open({path}));
        } catch (const Error& error) {
            return error.what();
        }
        return "";
    };
    EXPECT_THAT(refusal(write_sparse(m_folder, 8192, 5, "BAND")), ::testing::Not(HasSubstr("unpacked")));
    EXPECT_EQ(refusal(write_sparse(m_folder, 8192, 1, "BAND")), "");
}

TEST_F(RasterSourceTest, ReadsCellsFromTheNorthWest) {
    RasterSource source = open({write(two_by_three())});
    EXPECT_EQ(source.info().grid, (Grid{500000.0, 4000000.0, 1.0, 1.0, 2, 3}));
    EXPECT_EQ(source.info().crs.name(), "EPSG:32610 (WGS 84 / UTM zone 10N)");
    EXPECT_EQ(source.info().value_step, 0.0);
    EXPECT_THAT(source.info().where, HasSubstr("terrain.elevation"));
    EXPECT_THAT(all_of(source), ElementsAre(1, 2, 3, 4, 5, 6));
    bool damaged = false;
    EXPECT_THAT(source.read({1, 2, 1, 3}, damaged), ElementsAre(5, 6));
    EXPECT_THAT(source.read({1, 1, 1, 3}, damaged), ElementsAre());
    EXPECT_THROW((void)source.read({0, 3, 0, 3}, damaged), Error);
}

// F13: a GeoTIFF that runs from south to north keeps its rows so.
TEST_F(RasterSourceTest, ASouthUpFileIsTurned) {
    RasterSpec spec = two_by_three();
    spec.transform = {500000.0, 1.0, 0.0, 4000000.0, 0.0, 1.0};
    RasterSource source = open({write(spec)});
    EXPECT_EQ(source.info().grid, (Grid{500000.0, 4000002.0, 1.0, 1.0, 2, 3}));
    EXPECT_THAT(all_of(source), ElementsAre(4, 5, 6, 1, 2, 3));
    bool damaged = false;
    EXPECT_THAT(source.read({0, 1, 1, 3}, damaged), ElementsAre(5, 6));
}

TEST_F(RasterSourceTest, AShearedGridIsRefusedWithARemedy) {
    RasterSpec spec = two_by_three();
    spec.transform = {500000.0, 1.0, 0.2, 4000000.0, 0.0, -1.0};
    expect_input_error([&] { open({write(spec)}); }, {"dem.tif", "sheared", "gdalwarp"});
    spec.crs = "EPSG:4326";
    spec.transform = {20.0, 0.01, 0.002, -30.0, 0.002, -0.01};
    expect_input_error([&] { open({write(spec)}); }, {"dem.tif", "turned grid in degrees", "gdalwarp"});
    spec = two_by_three();
    spec.placed = false;
    expect_input_error([&] { open({write(spec)}); }, {"geotransform", "gdal_translate"});
    spec = two_by_three();
    spec.crs = "";
    expect_input_error([&] { open({write(spec)}); }, {"no coordinate reference system", "-a_srs"});
}

// The same six cells in every order of rows and columns that keeps them along the axes.
TEST_F(RasterSourceTest, RowsAndColumnsMayRunInAnyDirection) {
    RasterSpec spec = two_by_three();
    const std::vector<double> upright = values(spec);
    spec.bands = {{3, 2, 1, 6, 5, 4}};
    spec.transform = {500003.0, -1.0, 0.0, 4000000.0, 0.0, -1.0};
    EXPECT_EQ(values(spec), upright);  // from east to west
    spec.bands = {{6, 5, 4, 3, 2, 1}};
    spec.transform = {500003.0, -1.0, 0.0, 3999998.0, 0.0, 1.0};
    EXPECT_EQ(values(spec), upright);  // half a turn
    spec.rows = 3;
    spec.cols = 2;
    spec.bands = {{1, 4, 2, 5, 3, 6}};
    spec.transform = {500000.0, 0.0, 1.0, 4000000.0, -1.0, 0.0};
    EXPECT_EQ(values(spec), upright);  // a row of the file is a column of the grid
    spec.bands = {{6, 3, 5, 2, 4, 1}};
    spec.transform = {500003.0, 0.0, -1.0, 3999998.0, 1.0, 0.0};
    EXPECT_EQ(values(spec), upright);  // and both from the far end
    RasterSource source = open({write(spec)});
    EXPECT_EQ(source.info().grid, (Grid{500000.0, 4000000.0, 1.0, 1.0, 2, 3}));
    bool damaged = false;
    EXPECT_THAT(source.read({0, 2, 1, 2}, damaged), ElementsAre(2, 5));
    EXPECT_THAT(source.read({1, 2, 0, 2}, damaged), ElementsAre(4, 5));
}

// Turned by 36.87 degrees (3-4-5): where its cells lie is told by the way back to the file's CRS.
TEST_F(RasterSourceTest, ATurnedGridIsReadInItsOwnPlane) {
    RasterSpec spec = two_by_three();
    spec.transform = {500000.0, 4.0, 6.0, 4000000.0, 3.0, -8.0};  // columns 5 wide, rows 10 high
    RasterSource source = open({write(spec)});
    const Grid& grid = source.info().grid;
    EXPECT_EQ(grid.rows, 2);
    EXPECT_EQ(grid.cols, 3);
    EXPECT_DOUBLE_EQ(grid.cell_width, 5.0);
    EXPECT_DOUBLE_EQ(grid.cell_height, 10.0);
    EXPECT_THAT(all_of(source), ElementsAre(1, 2, 3, 4, 5, 6));
    EXPECT_THAT(source.info().crs.name(), HasSubstr("turned by 36.87 degrees"));
    const Transform back(source.info().crs, crs_from_text("EPSG:32610", "test"), "test");
    const Point last = back(grid.centre({1, 2})).value();  // the middle of the file's second row, third column
    EXPECT_NEAR(last.x, 500000.0 + 2.5 * 4.0 + 1.5 * 6.0, 1e-6);
    EXPECT_NEAR(last.y, 4000000.0 + 2.5 * 3.0 - 1.5 * 8.0, 1e-6);
    // The same grid with its rows the other way up.
    spec.transform = {500000.0 + 2 * 6.0, 4.0, -6.0, 4000000.0 - 2 * 8.0, 3.0, 8.0};
    spec.bands = {{4, 5, 6, 1, 2, 3}};
    RasterSource turned = open({write(spec)});
    EXPECT_THAT(all_of(turned), ElementsAre(1, 2, 3, 4, 5, 6));
    const Transform there(turned.info().crs, crs_from_text("EPSG:32610", "test"), "test");
    EXPECT_NEAR(there(turned.info().grid.centre({1, 2})).value().y, last.y, 1e-6);
}

TEST_F(RasterSourceTest, ControlPointsAreToBeWarpedFirst) {
    const std::string path = m_folder.file("gcp.tif");
    {
        GdalSession::start();
        const DatasetHandle file(
            GetGDALDriverManager()->GetDriverByName("GTiff")->Create(path.c_str(), 4, 4, 1, GDT_Float32, nullptr));
        OGRSpatialReference srs;
        srs.importFromEPSG(32610);
        char id[] = "";
        // The fourth is off the plane of the others.
        const GDAL_GCP points[] = {{id, id, 0.0, 0.0, 500000.0, 4000000.0, 0.0},
                                   {id, id, 4.0, 0.0, 500004.0, 4000000.0, 0.0},
                                   {id, id, 0.0, 4.0, 500000.0, 3999996.0, 0.0},
                                   {id, id, 4.0, 4.0, 500007.0, 3999991.0, 0.0}};
        ASSERT_EQ(file->SetGCPs(4, points, &srs), CE_None);
    }
    expect_input_error([&] { open({path}); }, {"gcp.tif", "control points", "gdalwarp -t_srs"});
}

// Blocks of 16 cells, so that each turned block lands in its own place.
TEST_F(RasterSourceTest, TurnedBlocksLandWhereTheyBelong) {
    const int rows = 40;
    const int cols = 50;
    RasterSpec upright{.rows = rows, .cols = cols, .bands = {counted(rows * cols)}};
    RasterSpec turned{.rows = cols, .cols = rows, .bands = {{}}};
    for (int col = cols - 1; col >= 0; --col) {
        for (int row = 0; row < rows; ++row) {
            turned.bands[0].push_back(upright.bands[0][static_cast<std::size_t>(row * cols + col)]);
        }
    }
    turned.transform = {500000.0 + cols, 0.0, -1.0, 4000000.0, -1.0, 0.0};
    turned.options = {"TILED=YES", "BLOCKXSIZE=16", "BLOCKYSIZE=16"};
    RasterSource one = open({write(upright, "upright.tif")});
    RasterSource other = open({write(turned, "turned.tif")});
    EXPECT_EQ(other.info().grid, one.info().grid);
    EXPECT_EQ(all_of(other), all_of(one));
    EXPECT_EQ(other.blocks_of({0, 16, 0, cols}).size(), 12U);  // a block of memory holds 64 rows: all of them
}

TEST_F(RasterSourceTest, CellsMayBeOblong) {
    RasterSpec spec = two_by_three();
    spec.transform = {20.0, 0.5, 0.0, -30.0, 0.0, -0.25};
    spec.crs = "EPSG:4326";
    EXPECT_EQ(open({write(spec)}).info().grid, (Grid{20.0, -30.0, 0.5, 0.25, 2, 3}));
}

TEST_F(RasterSourceTest, LongitudesBeyond180AreCountedFromTheWest) {
    RasterSpec spec = two_by_three();
    spec.crs = "EPSG:4326";
    spec.transform = {236.0, 0.25, 0.0, 45.0, 0.0, -0.25};
    EXPECT_EQ(open({write(spec)}).info().grid, (Grid{-124.0, 45.0, 0.25, 0.25, 2, 3}));
    spec.transform[0] = 179.5;  // across the antimeridian: as it is
    EXPECT_EQ(open({write(spec)}).info().grid.x_min, 179.5);
}

TEST_F(RasterSourceTest, PixelIsPointMovesTheGridByHalfACell) {
    RasterSpec spec = two_by_three();
    spec.metadata = {{"AREA_OR_POINT", "Point"}};
    EXPECT_EQ(open({write(spec)}).info().grid, (Grid{500000.0, 4000000.0, 1.0, 1.0, 2, 3}));
}

// R7.10: international foot 0.3048 m, US survey foot 1200/3937 m (exact).
TEST_F(RasterSourceTest, FeetBecomeMetres) {
    RasterSpec spec = two_by_three();
    EXPECT_THAT(values(spec, VerticalUnit::foot)[1], DoubleEq(2 * 0.3048));
    EXPECT_THAT(values(spec, VerticalUnit::us_survey_foot)[1], DoubleEq(2 * 1200.0 / 3937.0));
    spec.unit = "ft";
    EXPECT_THAT(values(spec)[1], DoubleEq(2 * 0.3048));
    EXPECT_THAT(values(spec, VerticalUnit::foot)[1], DoubleEq(2 * 0.3048));
    // "ft" does not say which foot; the setting may.
    EXPECT_THAT(values(spec, VerticalUnit::us_survey_foot)[1], DoubleEq(2 * 1200.0 / 3937.0));
    spec.unit = "US survey foot";
    EXPECT_THAT(values(spec)[1], DoubleEq(2 * 1200.0 / 3937.0));
    spec.unit = "m";
    EXPECT_THAT(values(spec)[1], DoubleEq(2.0));
    spec.unit = "cm";
    EXPECT_THAT(values(spec)[1], DoubleEq(0.02));
}

TEST_F(RasterSourceTest, TheVerticalPartOfTheCrsGivesTheUnit) {
    RasterSpec spec = two_by_three();
    spec.crs = "EPSG:32610+6360";  // NAVD88 height (ftUS)
    RasterSource source = open({write(spec)});
    EXPECT_NEAR(all_of(source)[1], 2 * 1200.0 / 3937.0, 1e-12);
    EXPECT_EQ(source.info().crs.name(), "EPSG:32610 (WGS 84 / UTM zone 10N)");
}

TEST_F(RasterSourceTest, TwoDifferentVerticalUnitsAreAnError) {
    RasterSpec spec = two_by_three();
    spec.unit = "ft";
    expect_input_error([&] { open({write(spec)}, VerticalUnit::metre); }, {"ft", "setting", "terrain.vertical_unit"});
    spec.unit = "US survey foot";
    expect_input_error([&] { open({write(spec)}, VerticalUnit::foot); }, {"US survey foot"});
    spec.unit = "m";
    spec.crs = "EPSG:32610+6360";
    expect_input_error([&] { open({write(spec)}); }, {"vertical part"});
    spec.crs = "EPSG:32610";
    spec.unit = "fathom";
    expect_input_error([&] { open({write(spec)}); }, {"fathom", "terrain.vertical_unit"});
    EXPECT_THAT(values(spec, VerticalUnit::metre)[0], DoubleEq(1.0));
}

TEST_F(RasterSourceTest, WithoutAVerticalUnitMetresAreTakenAndSaid) {
    Findings findings;
    (void)RasterSource::open(kSetting, {write(two_by_three())}, request_in(VerticalUnit::from_file), findings);
    ASSERT_EQ(findings.list().size(), 1U);
    EXPECT_EQ(findings.list()[0].severity, Severity::note);
    RasterSpec in_feet = two_by_three();
    in_feet.crs = "EPSG:2227";
    Findings more;
    (void)RasterSource::open(kSetting, {write(in_feet)}, request_in(VerticalUnit::from_file), more);
    EXPECT_EQ(more.count(Severity::warning), 1U);
    Findings none;
    (void)RasterSource::open(kSetting, {write(in_feet)}, request_in(VerticalUnit::metre), none);
    EXPECT_TRUE(none.list().empty());
}

// 160 GB by its word: told, and read window by window.
TEST_F(RasterSourceTest, AFileThatSaysItHoldsFarMoreThanItsBytesIsToldAndReadInWindows) {
    const std::string path = m_folder.file("vast.tif");
    testing::write_sparse(
        path,
        {.cols = 400'000, .rows = 200'000, .epsg = 32610, .transform = {400000.0, 1.0, 0.0, 4600000.0, 0.0, -1.0}});
    Findings findings;
    RasterSource source = RasterSource::open(kSetting, {path}, request_in(VerticalUnit::metre), findings);
    ASSERT_EQ(findings.count(Severity::warning), 1U);
    EXPECT_THAT(to_text(findings.list().front().trouble), HasSubstr("200000 x 400000 cells in a file of"));
    bool damaged = false;
    EXPECT_EQ(source.read({100'000, 100'002, 200'000, 200'002}, damaged), std::vector<double>(4, 0.0));
    EXPECT_FALSE(damaged);
}

TEST_F(RasterSourceTest, NodataIsMissing) {
    RasterSpec spec{.rows = 1, .cols = 3, .bands = {{1.0, -99.0, kNaN}}};
    spec.nodata = -99.0;
    EXPECT_THAT(values(spec), ElementsAre(1.0, IsNan(), IsNan()));
    spec.nodata = kNaN;
    EXPECT_THAT(values(spec), ElementsAre(1.0, -99.0, IsNan()));
    spec.type = GDT_Int16;
    spec.bands = {{1.0, -99.0, 3.0}};
    spec.nodata = -99.0;
    EXPECT_THAT(values(spec), ElementsAre(1.0, IsNan(), 3.0));
    spec.nodata = -99999.0;  // outside of the type: no cell can have it
    EXPECT_THAT(values(spec), ElementsAre(1.0, -99.0, 3.0));
}

TEST_F(RasterSourceTest, NodataWrittenAsRoundedTextIsMetAllTheSame) {
    const double most = std::numeric_limits<float>::max();
    const auto with_odd = [](RasterSource& source) {
        bool damaged = false;
        return source.read_with_odd({0, 1, 0, 3}, damaged);
    };
    // An ASCII grid keeps both as text.
    m_folder.write("dem.prj", R"(PROJCS["WGS 84 / UTM zone 10N",GEOGCS["WGS 84",DATUM["WGS_1984",)"
                              R"(SPHEROID["WGS 84",6378137,298.257223563]],PRIMEM["Greenwich",0],)"
                              R"(UNIT["degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],)"
                              R"(PARAMETER["latitude_of_origin",0],PARAMETER["central_meridian",-123],)"
                              R"(PARAMETER["scale_factor",0.9996],PARAMETER["false_easting",500000],)"
                              R"(PARAMETER["false_northing",0],UNIT["metre",1]])");
    const auto ascii = [&](const std::string& nodata, const std::string& cells) {
        RasterSource source =
            open({m_folder.write("dem.asc", "ncols 3\nnrows 1\nxllcorner 0\nyllcorner 0\ncellsize 1\nNODATA_value " +
                                                nodata + "\n" + cells)});
        return with_odd(source);
    };
    EXPECT_THAT(ascii("-3.4028235e+38", "1.5 -3.40282346638529e+38 2"), ElementsAre(1.5, IsNan(), 2.0));
    EXPECT_THAT(ascii("-3.4e38", "1.5 -3.40282346638529e+38 2"), ElementsAre(1.5, IsNan(), 2.0));
    EXPECT_THAT(ascii("-9999.9", "1.5 -9999.9 -9999"), ElementsAre(1.5, IsNan(), -9999.0));
    RasterSpec spec{.rows = 1, .cols = 3, .bands = {{1.0, most, -most}}};
    spec.nodata = 3.4028235e+38;
    RasterSource source = open({write(spec)});
    EXPECT_THAT(with_odd(source), ElementsAre(1.0, IsNan(), DoubleEq(-most)));
    spec.bands = {{1.0, 1e20, 2.0}};
    spec.nodata = 1e20;
    EXPECT_THAT(values(spec), ElementsAre(1.0, IsNan(), 2.0));
    // A measured value near the nodata value is none.
    spec.bands = {{100.0, 100.0001, 2.0}};
    spec.nodata = 100.0;
    EXPECT_THAT(values(spec), ElementsAre(IsNan(), DoubleNear(100.0001, 1e-5), 2.0));
}

TEST_F(RasterSourceTest, AMaskOrAlphaHidesCells) {
    RasterSpec spec = two_by_three();
    spec.mask = {255, 0, 255, 255, 255, 0};
    EXPECT_THAT(values(spec), ElementsAre(1, IsNan(), 3, 4, 5, IsNan()));
    spec.mask.clear();
    spec.type = GDT_Byte;
    spec.bands = {{1, 2, 3, 4, 5, 6}, {255, 255, 0, 255, 0, 255}};
    spec.options = {"ALPHA=YES"};
    EXPECT_THAT(values(spec), ElementsAre(1, 2, IsNan(), 4, IsNan(), 6));
}

// GDAL takes an alpha band for a mask beside bytes and 16-bit numbers only: elsewhere holes were read as 0 m.
TEST_F(RasterSourceTest, AnAlphaBandHidesCellsOfEveryType) {
    for (const GDALDataType type : {GDT_Float32, GDT_Float64, GDT_Int16, GDT_Int32}) {
        RasterSpec spec = two_by_three();
        spec.type = type;
        spec.options = {"ALPHA=YES"};
        for (const double shown : {255.0, 1.0}) {
            spec.bands = {{1, 2, 0, 4, 0, 6}, {shown, shown, 0, shown, 0, shown}};
            EXPECT_THAT(values(spec), ElementsAre(1, 2, IsNan(), 4, IsNan(), 6)) << GDALGetDataTypeName(type);
        }
        EXPECT_TRUE(open({write(spec)}).info().declares_missing);
    }
}

TEST_F(RasterSourceTest, AMaskInsideTheFileAndBesideItHideCellsOfFloats) {
    RasterSpec spec = two_by_three();
    spec.bands = {{1, 0, 3, 4, 5, 0}};
    spec.mask = {255, 0, 255, 255, 255, 0};
    for (const char* const inside : {"YES", "NO"}) {
        CPLSetConfigOption("GDAL_TIFF_INTERNAL_MASK", inside);
        const std::string path = write(spec, fmt::format("dem_{}.tif", inside));
        CPLSetConfigOption("GDAL_TIFF_INTERNAL_MASK", nullptr);
        EXPECT_EQ(std::filesystem::exists(path + ".msk"), std::string(inside) == "NO");
        RasterSource source = open({path});
        EXPECT_THAT(all_of(source), ElementsAre(1, IsNan(), 3, 4, 5, IsNan()));
    }
}

TEST_F(RasterSourceTest, NumbersThatNoGroundHasAreNeverUsed) {
    RasterSpec spec = two_by_three();
    spec.bands = {{1, -9999, 3.4e38, 9001, -451, 8848}};
    RasterSource source = open({write(spec)});
    EXPECT_THAT(all_of(source), ElementsAre(1, IsNan(), IsNan(), IsNan(), IsNan(), 8848));
    bool damaged = false;
    EXPECT_EQ(source.read_with_odd({0, 1, 1, 2}, damaged).front(), -9999.0);
    EXPECT_FALSE(source.info().declares_missing);
    // In feet twenty thousand is a mountain.
    spec.bands = {{1, -9999, 20000, 3, 4, 5}};
    EXPECT_THAT(values(spec, VerticalUnit::foot)[2], DoubleEq(20000 * 0.3048));
}

TEST_F(RasterSourceTest, TheSettingsNodataCountsBesideTheFilesOwn) {
    RasterSpec spec = two_by_three();
    RasterRequest request = request_in(VerticalUnit::metre);
    request.nodata = 4.0;
    Findings findings;
    RasterSource without = RasterSource::open(kSetting, {write(spec)}, request, findings);
    EXPECT_THAT(all_of(without), ElementsAre(1, 2, 3, IsNan(), 5, 6));
    EXPECT_TRUE(without.info().declares_missing);
    spec.nodata = 2.0;
    RasterSource with = RasterSource::open(kSetting, {write(spec)}, request, findings);
    EXPECT_THAT(all_of(with), ElementsAre(1, IsNan(), 3, IsNan(), 5, 6));
}

TEST_F(RasterSourceTest, ANodataValueThatTheTypeCannotHoldIsToldOf) {
    RasterSpec spec = two_by_three();
    spec.type = GDT_UInt16;
    const std::string path = write(spec);
    m_folder.write(
        "dem.tif.aux.xml",
        "<PAMDataset><PAMRasterBand band=\"1\"><NoDataValue>-9999</NoDataValue></PAMRasterBand></PAMDataset>");
    Findings findings;
    RasterSource source = RasterSource::open(kSetting, {path}, request_in(VerticalUnit::metre), findings);
    EXPECT_THAT(all_of(source), ElementsAre(1, 2, 3, 4, 5, 6));
    ASSERT_EQ(findings.count(Severity::warning), 1U);
    EXPECT_THAT(finding_line(findings.list()[0]),
                AllOf(HasSubstr("-9999"), HasSubstr("UInt16"), HasSubstr("terrain.nodata")));
}

// F14: scale and offset stand beside the numbers and are applied once.
TEST_F(RasterSourceTest, ScaleAndOffsetOfAnIntegerAreAppliedOnce) {
    RasterSpec spec = two_by_three();
    spec.type = GDT_Int16;
    spec.scale = 0.1;
    spec.offset = 100.0;
    spec.nodata = 3.0;  // in stored numbers
    RasterSource source = open({write(spec)}, VerticalUnit::foot);
    EXPECT_THAT(source.info().value_step, DoubleEq(0.1 * 0.3048));
    EXPECT_THAT(source.info().metres_per_value, DoubleEq(0.3048));
    EXPECT_THAT(all_of(source), ElementsAre(DoubleNear(100.1 * 0.3048, 1e-12), DoubleNear(100.2 * 0.3048, 1e-12),
                                            IsNan(), DoubleNear(100.4 * 0.3048, 1e-12),
                                            DoubleNear(100.5 * 0.3048, 1e-12), DoubleNear(100.6 * 0.3048, 1e-12)));
}

TEST_F(RasterSourceTest, BandsThatAreNoHeightsAreRefused) {
    RasterSpec spec = two_by_three();
    spec.bands = {counted(6), counted(6)};
    spec.descriptions = {"ground", "intensity"};
    expect_input_error([&] { open({write(spec)}); },
                       {"2 bands", "1 (ground), 2 (intensity)", "terrain.band = 1", "gdal_translate -b"});
    spec = two_by_three();
    spec.type = GDT_CFloat32;
    expect_input_error([&] { open({write(spec)}); }, {"complex"});
    spec = two_by_three();
    spec.type = GDT_Byte;
    spec.palette = true;
    expect_input_error([&] { open({write(spec)}); }, {"palette"});
    spec = two_by_three();
    spec.scale = 0.0;
    spec.type = GDT_Int16;
    expect_input_error([&] { open({write(spec)}); }, {"scale"});
}

TEST_F(RasterSourceTest, OneOfSeveralBandsCanBeAskedFor) {
    RasterSpec spec = two_by_three();
    spec.bands = {{9, 9, 9, 9, 9, 9}, counted(6), {7, 7, 7, 7, 7, 7}};
    const std::string path = write(spec);
    RasterRequest request = request_in(VerticalUnit::metre);
    request.band = 2;
    Findings findings;
    RasterSource source = RasterSource::open(kSetting, {path}, request, findings);
    EXPECT_THAT(all_of(source), ElementsAre(1, 2, 3, 4, 5, 6));
    request.band = 4;
    expect_input_error([&] { (void)RasterSource::open(kSetting, {path}, request, findings); },
                       {"band 4", "1, 2, 3", "terrain.band"});
}

// The vertical reference of a file, which is told where two rasters are held against each other.
TEST_F(RasterSourceTest, WhatHeightsCountFromIsReadFromTheCrs) {
    RasterSpec spec = two_by_three();
    EXPECT_FALSE(open({write(spec)}).info().vertical.known());
    spec.crs = "EPSG:32610+5703";
    EXPECT_EQ(open({write(spec)}).info().vertical.name, "North American Vertical Datum 1988");
    spec.crs = "EPSG:4979";
    spec.transform = {20.0, 0.5, 0.0, -30.0, 0.0, -0.25};
    EXPECT_TRUE(open({write(spec)}).info().vertical.ellipsoidal);
}

// GeoTIFF 1.0 files hold the vertical part too; GDAL keeps it from view unless it is asked for.
TEST_F(RasterSourceTest, TheVerticalPartOfAnOldGeotiffGivesTheUnitToo) {
    RasterSpec spec = two_by_three();
    spec.crs = "EPSG:32610+6360";
    spec.options = {"GEOTIFF_VERSION=1.0"};
    RasterSource source = open({write(spec)});
    EXPECT_NEAR(all_of(source)[1], 2 * 1200.0 / 3937.0, 1e-12);
}

TEST_F(RasterSourceTest, ASurfaceIsReadAsItsFileSaysWhateverTheSettingSays) {
    RasterSpec spec = two_by_three();
    spec.unit = "m";
    RasterRequest request = surface_request({});
    request.unit = VerticalUnit::foot;
    Findings findings;
    RasterSource stated = RasterSource::open("terrain.surface", {write(spec)}, request, findings);
    EXPECT_THAT(all_of(stated)[1], DoubleEq(2.0));
    ASSERT_EQ(findings.count(Severity::note), 1U);
    EXPECT_THAT(finding_line(findings.list()[0]), AllOf(HasSubstr("m by the band"), HasSubstr("ft by the setting")));
    spec.unit = "";
    RasterSource silent = RasterSource::open("terrain.surface", {write(spec)}, request, findings);
    EXPECT_THAT(all_of(silent)[1], DoubleEq(2 * 0.3048));
    spec.unit = "m";
    spec.crs = "EPSG:32610+6360";
    expect_input_error([&] { (void)RasterSource::open("terrain.surface", {write(spec)}, request, findings); },
                       {"m by the band", "US survey foot by the vertical part"});
}

TEST_F(RasterSourceTest, WithoutACrsItsCoordinatesAreDescribed) {
    RasterSpec spec = two_by_three();
    spec.crs = "";
    const std::string path = write(spec);
    expect_input_error([&] { open({path}); },
                       {"no coordinate reference system", "metres or feet", "gdal_edit.py -a_srs"});
    RasterRequest request = request_in(VerticalUnit::metre);
    request.neighbour =
        Neighbour{"the footprints", crs_from_text("EPSG:32610", "test"), Box{500000.0, 3999000.0, 501000.0, 4001000.0}};
    Findings findings;
    expect_input_error([&] { (void)RasterSource::open(kSetting, {path}, request, findings); },
                       {"would fit the footprints", "EPSG:32610"});
    spec.transform = {-122.0, 1e-4, 0.0, 38.0, 0.0, -1e-4};
    expect_input_error([&] { open({write(spec)}); }, {"look like degrees", "EPSG:4326"});
}

TEST_F(RasterSourceTest, CoordinatesThatCannotBeOfTheStatedCrsAreRefused) {
    RasterSpec spec = two_by_three();
    spec.transform = {-122.0, 1e-4, 0.0, 38.0, 0.0, -1e-4};
    expect_input_error([&] { open({write(spec)}); },
                       {"dem.tif", "look like degrees", "EPSG:32610", "-a_srs EPSG:4326"});
    spec = two_by_three();
    spec.crs = "EPSG:4326";
    expect_input_error([&] { open({write(spec)}); }, {"no degrees", "x 500000", "EPSG:4326", "gdal_edit.py -a_srs"});
}

TEST_F(RasterSourceTest, OtherFormatsAreNamed) {
    expect_input_error([&] { open({m_folder.file("none.tif")}); }, {"no such file"});
    expect_input_error([&] { open({m_folder.write("empty.tif", "")}); }, {"empty"});
    expect_input_error([&] { open({m_folder.write("text.tif", "hello world, no raster here")}); },
                       {"nothing recognises", "GTiff"});
    expect_input_error([&] { open({m_folder.write("map.tif", "<GDAL_WMS><Service name=\"WMS\"/></GDAL_WMS>")}); },
                       {"WMS"});
    expect_input_error([&] { open({m_folder.write("cut.tif", std::string("II*\0\x08\0\0\0", 8))}); },
                       {"damaged", "GTiff"});
    expect_input_error([&] { open({"/vsicurl/http://127.0.0.1:9/dem.tif"}); }, {"terrain.elevation"});
    expect_input_error([&] { open({}); }, {"no file"});
}

TEST_F(RasterSourceTest, HfaAndAsciiGridsAreRead) {
    RasterSpec spec = two_by_three();
    spec.driver = "HFA";
    RasterSource hfa = open({write(spec, "dem.img")});
    EXPECT_THAT(all_of(hfa), ElementsAre(1, 2, 3, 4, 5, 6));
    spec.driver = "AAIGrid";
    spec.type = GDT_Int32;
    RasterSource ascii = open({write(spec, "dem.asc")});
    EXPECT_THAT(all_of(ascii), ElementsAre(1, 2, 3, 4, 5, 6));
    EXPECT_EQ(ascii.info().value_step, 1.0);
}

class MosaicTest : public RasterSourceTest {
protected:
    RasterSpec part(int row, int col, int rows, int cols, bool south_up = false) const {
        RasterSpec spec{.rows = rows, .cols = cols, .bands = {{}}};
        spec.transform = {500000.0 + 2.0 * col, 2.0, 0.0, 4000000.0 - 2.0 * row, 0.0, -2.0};
        spec.nodata = -9999.0;
        for (int i = 0; i < rows; ++i) {
            const int file_row = south_up ? rows - 1 - i : i;
            for (int j = 0; j < cols; ++j) {
                spec.bands[0].push_back(100.0 * (row + file_row) + col + j);
            }
        }
        if (south_up) {
            spec.transform[3] -= 2.0 * rows;
            spec.transform[5] = 2.0;
        }
        return spec;
    }
    std::string whole() const { return write(part(0, 0, 7, 9), "whole.tif"); }
    std::vector<std::string> tiles() const {
        return {write(part(0, 0, 4, 4), "tile_a.tif"), write(part(0, 4, 4, 5), "tile_b.tif"),
                write(part(4, 0, 3, 4), "tile_c.tif"), write(part(4, 4, 3, 5, true), "tile_d.tif")};
    }
};

TEST_F(MosaicTest, FourTilesAreTheWhole) {
    RasterSource one = open({whole()});
    RasterSource four = open(tiles());
    EXPECT_EQ(four.info().grid, one.info().grid);
    EXPECT_EQ(four.info().files.size(), 4U);
    EXPECT_EQ(all_of(four), all_of(one));
    RasterSource by_glob = open({m_folder.file("tile_*.tif")});
    EXPECT_EQ(all_of(by_glob), all_of(one));
    bool damaged = false;
    EXPECT_THAT(four.read({3, 5, 3, 5}, damaged), ElementsAre(303, 304, 403, 404));
    RasterSource twin = four.another();
    EXPECT_EQ(all_of(twin), all_of(one));
    EXPECT_EQ(twin.info().grid, one.info().grid);
}

TEST_F(MosaicTest, SparseBlocksHoldTheSameCells) {
    RasterSource four = open(tiles());
    SparseRaster sparse(four.info().grid);
    four.load(sparse, {-5, 100, -5, 100});
    EXPECT_EQ(sparse.at(6, 8), 608.0);
    EXPECT_EQ(sparse.at(3, 4), 304.0);
    EXPECT_FALSE(sparse.damaged({0, 7, 0, 9}));
    const std::size_t blocks = sparse.block_count();
    four.load(sparse, {0, 7, 0, 9});
    EXPECT_EQ(sparse.block_count(), blocks);
}

TEST_F(MosaicTest, CellsOfNoTileAreMissingAndALaterTileLiesOnTop) {
    const std::string a = write(part(0, 0, 4, 4), "a.tif");
    RasterSpec over = part(2, 2, 3, 3);
    over.bands[0] = {1, 1, 1, 1, -9999, 1, 1, 1, 1};
    const std::string b = write(over, "b.tif");
    Findings findings;
    RasterSource both = RasterSource::open(kSetting, {a, b}, request_in(VerticalUnit::metre), findings);
    EXPECT_EQ(both.info().grid.rows, 5);
    const std::vector<double> values = all_of(both);
    EXPECT_TRUE(std::isnan(values[4]));  // row 0, column 4: in neither
    EXPECT_EQ(values[2 * 5 + 2], 1.0);
    EXPECT_EQ(values[3 * 5 + 3], 303.0);  // missing in the one on top
    EXPECT_EQ(findings.count(Severity::note), 1U);
    RasterSource other_way = open({b, a});
    EXPECT_EQ(all_of(other_way)[2 * 5 + 2], 202.0);
}

TEST_F(MosaicTest, OddTilesAreNamed) {
    std::vector<std::string> paths = tiles();
    RasterSpec odd = part(8, 0, 4, 4);
    odd.transform[1] = 2.5;
    paths.push_back(write(odd, "odd_cells.tif"));
    expect_input_error([&] { open(paths); }, {"1 of 5", "odd_cells.tif", "2.5"});
    odd = part(8, 0, 4, 4);
    odd.transform[0] += 0.5;
    paths.back() = write(odd, "odd_place.tif");
    expect_input_error([&] { open(paths); }, {"odd_place.tif", "0.250 of a cell"});
    odd = part(8, 0, 4, 4);
    odd.crs = "EPSG:32611";
    paths.back() = write(odd, "odd_crs.tif");
    expect_input_error([&] { open(paths); }, {"odd_crs.tif", "EPSG:32611"});
    odd = part(8, 0, 4, 4);
    odd.nodata.reset();
    paths.back() = write(odd, "odd_nodata.tif");
    expect_input_error([&] { open(paths); }, {"odd_nodata.tif", "nodata"});
    odd = part(8, 0, 4, 4);
    odd.unit = "ft";
    paths.back() = write(odd, "odd_unit.tif");
    expect_input_error([&] { open(paths); }, {"odd_unit.tif", "0.3048"});
    // The odd one is named even where it comes first.
    std::rotate(paths.begin(), paths.begin() + 4, paths.end());
    expect_input_error([&] { open(paths); }, {"1 of 5", "odd_unit.tif"});
    expect_input_error([&] { open({m_folder.file("x_*.tif")}); }, {"no file that matches", "x_*.tif"});
}

TEST_F(MosaicTest, ATileAboveAnotherDatumIsNamed) {
    std::vector<std::string> paths;
    for (int i = 0; i < 3; ++i) {
        RasterSpec spec = part(4 * i, 0, 4, 4);
        spec.crs = i == 1 ? "EPSG:32610+5773" : "EPSG:32610+5703";
        paths.push_back(write(spec, fmt::format("t{}.tif", i)));
    }
    expect_input_error([&] { open(paths); },
                       {"1 of 3", "t1.tif", "EGM96 geoid", "heights above North American Vertical Datum 1988"});
}

TEST_F(MosaicTest, TilesThatOverlapAndDisagreeAreWarnedOfWithTheGreatestDifference) {
    RasterSpec over = part(2, 2, 3, 3);
    const std::string a = write(part(0, 0, 4, 4), "a.tif");
    const std::string same = write(over, "same.tif");
    Findings quiet;
    (void)RasterSource::open(kSetting, {a, same}, request_in(VerticalUnit::metre), quiet);
    EXPECT_EQ(quiet.count(Severity::warning), 0U);
    over.bands[0][1] += 7.5;
    over.bands[0][3] -= 2.0;
    const std::string other = write(over, "other.tif");
    Findings findings;
    (void)RasterSource::open(kSetting, {a, other}, request_in(VerticalUnit::metre), findings);
    ASSERT_EQ(findings.count(Severity::warning), 1U);
    EXPECT_THAT(finding_line(findings.list()[0]),
                AllOf(HasSubstr("7.50 m"), HasSubstr("a.tif"), HasSubstr("other.tif"), HasSubstr("last one in order")));
}

class VrtTest : public MosaicTest {
protected:
    // A VRT of tiles side by side, as gdalbuildvrt writes it.
    std::string vrt(const std::vector<std::pair<std::string, std::array<int, 4>>>& tiles, int rows, int cols,
                    const std::string& more = "") const {
        std::string text = fmt::format(
            "<VRTDataset rasterXSize=\"{}\" rasterYSize=\"{}\"><SRS>EPSG:32610</SRS><GeoTransform>500000, 2, 0, "
            "4000000, 0, -2</GeoTransform><VRTRasterBand dataType=\"Float32\" band=\"1\">{}",
            cols, rows, more);
        for (const auto& [name, place] : tiles) {
            text += fmt::format(
                "<SimpleSource><SourceFilename relativeToVRT=\"1\">{}</SourceFilename><SourceBand>1</SourceBand>"
                "<SrcRect xOff=\"0\" yOff=\"0\" xSize=\"{}\" ySize=\"{}\"/><DstRect xOff=\"{}\" yOff=\"{}\" "
                "xSize=\"{}\" ySize=\"{}\"/></SimpleSource>",
                name, place[3], place[2], place[1], place[0], place[3], place[2]);
        }
        return m_folder.write("dem.vrt", text + "</VRTRasterBand></VRTDataset>");
    }
    RasterSpec tile(int row, int col, int rows, int cols) const {
        RasterSpec spec = part(row, col, rows, cols);
        spec.nodata.reset();
        return spec;
    }
};

// GDAL fills what no tile covers with 0.
TEST_F(VrtTest, CellsThatNoFileCoversAreMissing) {
    write(tile(0, 0, 2, 2), "a.tif");
    write(tile(2, 2, 2, 2), "b.tif");
    Findings findings;
    RasterSource source = RasterSource::open(kSetting, {vrt({{"a.tif", {0, 0, 2, 2}}, {"b.tif", {2, 2, 2, 2}}}, 4, 4)},
                                             request_in(VerticalUnit::metre), findings);
    EXPECT_THAT(all_of(source), ElementsAre(0, 1, IsNan(), IsNan(), 100, 101, IsNan(), IsNan(), IsNan(), IsNan(), 202,
                                            203, IsNan(), IsNan(), 302, 303));
    EXPECT_EQ(findings.count(Severity::note), 1U);
}

TEST_F(VrtTest, WhollyCoveredItIsReadAsItIs) {
    write(tile(0, 0, 2, 4), "a.tif");
    write(tile(2, 0, 2, 4), "b.tif");
    Findings findings;
    RasterSource source = RasterSource::open(kSetting, {vrt({{"a.tif", {0, 0, 2, 4}}, {"b.tif", {2, 0, 2, 4}}}, 4, 4)},
                                             request_in(VerticalUnit::metre), findings);
    EXPECT_EQ(all_of(source)[15], 303.0);
    EXPECT_TRUE(findings.list().empty());
}

TEST_F(VrtTest, TheUnitOfItsFilesIsItsOwn) {
    RasterSpec spec = tile(0, 0, 2, 2);
    spec.unit = "ft";
    write(spec, "a.tif");
    RasterSource source = open({vrt({{"a.tif", {0, 0, 2, 2}}}, 2, 2)});
    EXPECT_THAT(all_of(source)[3], DoubleEq(101 * 0.3048));
    EXPECT_THAT(source.info().unit_said, HasSubstr("the VRT's files"));
}

TEST_F(VrtTest, FilesThatDoNotFitItAreNamed) {
    write(tile(0, 0, 2, 2), "a.tif");
    const auto with = [&](const RasterSpec& odd, const std::vector<std::string>& parts) {
        write(odd, "b.tif");
        expect_input_error([&] { open({vrt({{"a.tif", {0, 0, 2, 2}}, {"b.tif", {0, 2, 2, 2}}}, 2, 4)}); }, parts);
    };
    RasterSpec odd = tile(0, 2, 2, 2);
    odd.unit = "ft";
    with(odd, {"dem.vrt", "1 of 2", "b.tif (ft by the band)"});
    odd = tile(0, 2, 2, 2);
    odd.crs = "EPSG:32611";
    with(odd, {"1 of 2", "b.tif (CRS EPSG:32611"});
    odd = tile(0, 2, 2, 2);
    odd.nodata = -9999.0;
    with(odd, {"1 of 2", "b.tif (a nodata value or mask)"});
}

TEST_F(VrtTest, FilesThatOverlapAndDisagreeAreWarnedOf) {
    write(tile(0, 0, 2, 3), "a.tif");
    RasterSpec over = tile(0, 1, 2, 3);
    over.bands[0][0] += 3.25;
    write(over, "b.tif");
    Findings findings;
    (void)RasterSource::open(kSetting, {vrt({{"a.tif", {0, 0, 2, 3}}, {"b.tif", {0, 1, 2, 3}}}, 2, 4)},
                             request_in(VerticalUnit::metre), findings);
    ASSERT_EQ(findings.count(Severity::warning), 1U);
    EXPECT_THAT(finding_line(findings.list()[0]), HasSubstr("3.25 m"));
}

TEST_F(VrtTest, WhatItsFilesDoNotCoverIsNotComparedWithOtherFiles) {
    write(tile(0, 0, 2, 2), "a.tif");
    write(tile(2, 2, 2, 2), "b.tif");
    const std::string whole = write(tile(0, 0, 4, 4), "c.tif");
    Findings findings;
    (void)RasterSource::open(kSetting, {whole, vrt({{"a.tif", {0, 0, 2, 2}}, {"b.tif", {2, 2, 2, 2}}}, 4, 4)},
                             request_in(VerticalUnit::metre), findings);
    EXPECT_EQ(findings.count(Severity::warning), 0U);
}

// F3: a tiled file cut short opens, and only some of its blocks can be read.
TEST_F(RasterSourceTest, OfACutFileOnlyTheBrokenBlocksAreLost) {
    RasterSpec spec{.rows = 64, .cols = 64, .bands = {counted(64 * 64)}};
    spec.options = {"TILED=YES", "BLOCKXSIZE=16", "BLOCKYSIZE=16"};
    const std::string path = write(spec);
    std::filesystem::resize_file(path, std::filesystem::file_size(path) - 16 * 16 * 4 * 2 - 100);
    RasterSource source = open({path}, VerticalUnit::foot);
    bool damaged = false;
    EXPECT_THAT(source.read({0, 1, 0, 2}, damaged), ElementsAre(DoubleEq(0.3048), DoubleEq(2 * 0.3048)));
    EXPECT_FALSE(damaged);
    const std::vector<double> values = source.read({0, 64, 0, 64}, damaged);
    EXPECT_TRUE(damaged);
    std::size_t lost = 0;
    for (std::size_t i = 0; i < values.size(); ++i) {
        if (std::isnan(values[i])) {
            ++lost;
            EXPECT_GE(i / 64, 48U);  // the last blocks of the last row
        } else {
            EXPECT_DOUBLE_EQ(values[i], 0.3048 * static_cast<double>(i + 1));
        }
    }
    EXPECT_EQ(lost, 3U * 16U * 16U);
    SparseRaster sparse(source.info().grid);
    source.load(sparse, {0, 64, 0, 64});
    EXPECT_TRUE(sparse.damaged({0, 1, 0, 1}));  // one block of memory holds them all
}

TEST_F(RasterSourceTest, AFileThatGoesAwayIsDamage) {
    RasterSpec spec = two_by_three();
    const std::string path = write(spec);
    RasterSource source = open({path});
    std::filesystem::remove(path);
    bool damaged = false;
    EXPECT_THAT(source.read({0, 1, 0, 1}, damaged), ElementsAre(IsNan()));
    EXPECT_TRUE(damaged);
}

TEST_F(RasterSourceTest, AnAbsurdSizeIsWarnedOfAndNotAllocated) {
    GdalSession::start();
    const std::string path = m_folder.file("huge.tif");
    {
        const char* const options[] = {"SPARSE_OK=TRUE",  "TILED=YES",       "BIGTIFF=YES",
                                       "BLOCKXSIZE=4096", "BLOCKYSIZE=4096", nullptr};
        const DatasetHandle file(GetGDALDriverManager()->GetDriverByName("GTiff")->Create(
            path.c_str(), 200000, 200000, 1, GDT_Float32, const_cast<char**>(options)));
        ASSERT_NE(file, nullptr);
        double transform[6] = {500000.0, 1.0, 0.0, 4000000.0, 0.0, -1.0};
        file->SetGeoTransform(transform);
        OGRSpatialReference srs;
        srs.importFromEPSG(32610);
        file->SetSpatialRef(&srs);
    }
    Findings findings;
    RasterSource source = RasterSource::open(kSetting, {path}, request_in(VerticalUnit::metre), findings);
    EXPECT_EQ(findings.count(Severity::warning), 1U);
    EXPECT_EQ(source.info().grid.rows, 200000);
    bool damaged = false;
    EXPECT_THAT(source.read({199999, 200000, 199998, 200000}, damaged), ElementsAre(0.0, 0.0));
}

TEST_F(RasterSourceTest, RealElevationsHaveTheDocumentedSizes) {
    EAVESHED_SHARED_OR_SKIP(data, "data");
    struct Documented {
        const char* file;
        std::int64_t rows;
        std::int64_t cols;
    };
    for (const Documented& entry :
         {Documented{"swellendam_za/dem_srtm_3s_wgs84.tif", 619, 919},
          Documented{"swellendam_za/dem_srtm_90m_utm34s.tif", 0, 0}, Documented{"bilbao_es/dem_5m.tif", 680, 680},
          Documented{"vancouver_ca/dem_lidar_0p5m.tif", 0, 0}}) {
        RasterSource source = open({(data / entry.file).string()});
        if (entry.rows > 0) {
            EXPECT_EQ(source.info().grid.rows, entry.rows) << entry.file;
            EXPECT_EQ(source.info().grid.cols, entry.cols) << entry.file;
        }
        bool damaged = false;
        const std::vector<double> values =
            source.read({0, source.info().grid.rows, 0, source.info().grid.cols}, damaged);
        EXPECT_FALSE(damaged);
        const bool sensible = std::all_of(values.begin(), values.end(),
                                          [](double v) { return std::isnan(v) || (v >= -50.0 && v <= 1700.0); });
        EXPECT_TRUE(sensible) << entry.file;
    }
    RasterSource swellendam = open({(data / "swellendam_za/dem_srtm_3s_wgs84.tif").string()});
    const std::vector<double> values = all_of(swellendam);
    EXPECT_EQ(*std::max_element(values.begin(), values.end()), 1699.0);  // its README: 0..1699
}

}  // namespace
}  // namespace eaveshed
