// Elevation and surface rasters that are sound as files and cannot be meant, or do not go together: told before work
// starts, by a look and by a run alike. And grids that lie as few do: read all the same.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <fstream>

#include "eaveshed/run/check.hpp"
#include "run/run_project.hpp"
#include "run/small_basin.hpp"
#include "support/expect_error.hpp"
#include "support/output_file.hpp"

namespace eaveshed {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;
using testing::OutputFile;
using testing::RasterSpec;
using testing::TempFolder;
namespace fs = std::filesystem;

class OddRasters : public ::testing::Test {
protected:
    void write() { write_basin(m_folder, m_basin); }
    void write_raster(const std::string& name, const RasterSpec& spec) const {
        testing::write_raster(m_folder.file(name), spec);
    }
    [[nodiscard]] RasterSpec ground(const std::string& crs = kBasinCrs, double more_m = 0.0) const {
        return raster_over_basin(crs, m_basin.cell_m, 0.0, 1,
                                 [more_m](int, Point place) { return ground_m(place) + more_m; });
    }
    static int spec_cells(const RasterSpec& spec) { return spec.rows * spec.cols; }
    // The ground in cells whose columns run `degrees` from east to north, around the middle of the basin.
    [[nodiscard]] RasterSpec turned_ground(double degrees) const {
        const int side = 2 * static_cast<int>(0.75 * kSideM / m_basin.cell_m);
        const double cosine = std::cos(degrees * M_PI / 180.0) * m_basin.cell_m;
        const double sine = std::sin(degrees * M_PI / 180.0) * m_basin.cell_m;
        const double half = side / 2.0;
        RasterSpec spec{.rows = side, .cols = side, .bands = {{}}};
        spec.type = GDT_Float64;
        spec.crs = kBasinCrs;
        spec.transform = {kX0 + kSideM / 2.0 - half * cosine - half * sine, cosine, sine,
                          kY0 + kSideM / 2.0 - half * sine + half * cosine, sine,   -cosine};
        const auto& t = spec.transform;
        for (int row = 0; row < side; ++row) {
            for (int col = 0; col < side; ++col) {
                spec.bands[0].push_back(ground_m(
                    {t[0] + (col + 0.5) * t[1] + (row + 0.5) * t[2], t[3] + (col + 0.5) * t[4] + (row + 0.5) * t[5]}));
            }
        }
        return spec;
    }
    // A patch of the northern third.
    [[nodiscard]] RasterSpec with_patch(double value) const {
        RasterSpec spec = ground();
        std::fill_n(spec.bands[0].begin(), spec.cols * (spec.rows / 3), value);
        return spec;
    }
    [[nodiscard]] std::string project() const { return m_folder.file("basin.toml"); }
    [[nodiscard]] std::string output() const { return m_folder.file("out.gpkg"); }
    [[nodiscard]] std::string looked(Severity severity) const {
        Findings findings;
        (void)check(load_project(project(), findings), findings);
        std::string told;
        for (const Finding& finding : findings.list()) {
            told += finding.severity == severity ? finding_line(finding) + "\n" : "";
        }
        return told;
    }
    void run() const { screened(project(), output(), {.overwrite = true}); }
    void expect_fault(const std::vector<std::string>& parts) const {
        testing::expect_input_error([&] { run(); }, parts);
        EXPECT_FALSE(fs::exists(output()));
        EXPECT_FALSE(fs::exists(output() + ".work"));
        const std::string told = looked(Severity::error);
        for (const std::string& part : parts) {
            EXPECT_THAT(told, HasSubstr(part));
        }
    }
    [[nodiscard]] std::int64_t roofs_where(const std::string& condition) const {
        return OutputFile(output()).count("SELECT COUNT(*) FROM roofs WHERE " + condition);
    }

    SmallBasin m_basin;
    TempFolder m_folder;
};

TEST_F(OddRasters, AnUndeclaredMarkOfMissingCellsIsNamedWithItsCount) {
    write();
    for (const double mark : {-9999.0, -32768.0, 3.4e38}) {
        write_raster("dem.tif", with_patch(mark));
        expect_fault({"dem.tif", "cells looked at under the roofs, where no ground is", "terrain.nodata",
                      "gdal_edit.py -a_nodata"});
    }
    write_raster("dem.tif", with_patch(-9999.0));
    expect_fault({"-9999 m in 54 of 216 cells", "terrain.nodata = -9999"});
}

TEST_F(OddRasters, TheSettingMakesHolesOfIt) {
    m_basin.terrain_settings = "nodata = -9999\n";
    write();
    write_raster("dem.tif", with_patch(-9999.0));
    run();
    EXPECT_EQ(roofs_where("flags LIKE '%no_elevation%'"), 6);
    EXPECT_EQ(roofs_where("ground_elev_m < 0"), 0);
}

// Where no roof stands the look does not come by: the cells are holes all the same.
TEST_F(OddRasters, MarksThatNobodySawAreHolesAllTheSame) {
    m_basin.roofs.resize(6);  // the southern row
    write();
    RasterSpec holes = ground();
    for (int i = 0; i < spec_cells(holes); ++i) {
        const double y = holes.transform[3] - (i / holes.cols + 0.5) * m_basin.cell_m;
        if (y > kY0 + 225.0) {
            holes.bands[0][static_cast<std::size_t>(i)] = -9999.0;
        }
    }
    write_raster("dem.tif", holes);
    EXPECT_THAT(looked(Severity::error), Not(HasSubstr("-9999")));
    run();
    const auto undeclared = OutputFile(output()).rows("SELECT * FROM pads");
    holes.nodata = -9999.0;
    write_raster("dem.tif", holes);
    run();
    EXPECT_EQ(OutputFile(output()).rows("SELECT * FROM pads"), undeclared);
    EXPECT_EQ(roofs_where("ground_elev_m < 0"), 0);
}

TEST_F(OddRasters, HeightsInCentimetresAreCalledTooSteepOrTooHigh) {
    write();
    RasterSpec centimetres = ground();
    for (double& value : centimetres.bands[0]) {
        value = 80.0 * (value - 115.0);
    }
    write_raster("dem.tif", centimetres);
    expect_fault({"dem.tif", "steeper than", "at half of 24 roofs", "gdal_edit.py -scale 0.01"});
    for (double& value : centimetres.bands[0]) {
        value += 1e6;
    }
    write_raster("dem.tif", centimetres);
    expect_fault({"dem.tif", "heights from 1.0", "216 of 216 cells", "another unit or lack a scale"});
    centimetres = ground();
    for (double& value : centimetres.bands[0]) {
        value = std::round(value * 100.0);
    }
    centimetres.type = GDT_Int32;
    centimetres.scale = 0.01;
    write_raster("dem.tif", centimetres);
    EXPECT_THAT(looked(Severity::error), Not(HasSubstr("dem.tif")));
}

TEST_F(OddRasters, ExactlyZeroUnderRoofsWithoutADeclaredMarkIsWarnedOf) {
    write();
    write_raster("dem.tif", with_patch(0.0));
    EXPECT_THAT(looked(Severity::warning),
                AllOf(HasSubstr("exactly 0 under 6 of 24 roofs"), HasSubstr("terrain.nodata = 0")));
    RasterSpec declared = with_patch(0.0);
    declared.nodata = -9999.0;
    write_raster("dem.tif", declared);
    EXPECT_THAT(looked(Severity::warning), Not(HasSubstr("exactly 0")));
}

class OddSurface : public OddRasters {
protected:
    OddSurface() { m_basin.terrain_settings = "surface = \"dsm.tif\"\n"; }
};

TEST_F(OddSurface, AUnitThatOnlyOneOfTheTwoStatesIsAskedFor) {
    m_basin.value_unit_m = 0.3048;
    m_basin.band_unit = "ft";
    write();
    write_raster("dsm.tif", ground(kBasinCrs, 4.0));
    expect_fault(
        {"terrain.surface", "dsm.tif", "no vertical unit", "ft by the band", "dem.tif", "terrain.vertical_unit"});
    RasterSpec stated = ground(kBasinCrs, 4.0);
    stated.unit = "m";
    write_raster("dsm.tif", stated);
    EXPECT_EQ(looked(Severity::error), "");
    run();
    EXPECT_EQ(roofs_where("ABS(eave_elev_m - ground_elev_m - 4) < 1.5"), 24);
}

TEST_F(OddSurface, ItsOwnUnitCountsBesideElevationsInAnother) {
    m_basin.value_unit_m = 0.3048;
    m_basin.terrain_settings += "vertical_unit = \"ft\"\n";
    write();
    RasterSpec metres = ground(kBasinCrs, 4.0);
    metres.unit = "m";
    write_raster("dsm.tif", metres);
    EXPECT_EQ(looked(Severity::error), "");
    EXPECT_THAT(looked(Severity::note), HasSubstr("heights in m by the band, not in ft by the setting"));
    run();
    EXPECT_EQ(roofs_where("ABS(eave_elev_m - ground_elev_m - 4) < 1.5"), 24);
}

TEST_F(OddSurface, HeightsAboveTheEllipsoidBesideOrthometricOnesAreRefused) {
    m_basin.terrain_crs = "EPSG:32610+5703";
    write();
    write_raster("dsm.tif", ground("EPSG:4979", 30.0));
    expect_fault(
        {"dsm.tif", "heights above the ellipsoid", "North American Vertical Datum 1988", "dem.tif", "gdalwarp"});
}

TEST_F(OddSurface, TwoLevelsOfTheSeaAreWarnedOf) {
    m_basin.terrain_crs = "EPSG:32610+5703";
    write();
    write_raster("dsm.tif", ground("EPSG:32610+5773", 4.0));
    EXPECT_THAT(looked(Severity::warning), AllOf(HasSubstr("heights above EGM96 geoid"),
                                                 HasSubstr("elevations above North American Vertical Datum 1988")));
    write_raster("dsm.tif", ground(kBasinCrs, 4.0));
    EXPECT_THAT(looked(Severity::note), HasSubstr("heights above an unstated datum"));
    write_raster("dsm.tif", ground("EPSG:32610+5703", 4.0));
    EXPECT_THAT(looked(Severity::warning) + looked(Severity::note), Not(HasSubstr("heights above")));
}

// How inputs are brought together: named where it may be off.
class OddSystems : public OddRasters {};

TEST_F(OddSystems, AnUnknownDatumIsRefused) {
    write();
    RasterSpec odd = ground("EPSG:4326");
    odd.crs =
        "GEOGCS[\"odd\",DATUM[\"odd\",SPHEROID[\"Clarke "
        "1866\",6378206.4,294.978698213898]],PRIMEM[\"Greenwich\",0],UNIT["
        "\"degree\",0.0174532925199433]]";
    write_raster("dem.tif", odd);
    expect_fault({"dem.tif", "no known shift between the datums of odd and EPSG:32610", "hundreds of metres"});
}

TEST_F(OddSystems, TheAccuracyOfADatumShiftIsNoted) {
    write();
    write_raster("dem.tif", ground("EPSG:4269"));
    EXPECT_THAT(looked(Severity::note), AllOf(HasSubstr("NAD83 to WGS 84"), HasSubstr("accuracy 4 m")));
}

TEST_F(OddSystems, WebMercatorIsWarnedOfWithHowMuchItStretches) {
    m_basin.footprints_crs = "EPSG:3857";
    write();
    EXPECT_THAT(looked(Severity::warning),
                AllOf(HasSubstr("buildings.gpkg"), HasSubstr("EPSG:3857"), HasSubstr("1.26"), HasSubstr("ellipsoid")));
    EXPECT_THAT(looked(Severity::warning), Not(HasSubstr("gdalwarp -r bilinear -t_srs")));
    m_basin.terrain_crs = "EPSG:3857";
    write_terrain(m_basin, m_folder.file("dem.tif"));
    EXPECT_THAT(looked(Severity::warning), AllOf(HasSubstr("dem.tif"), HasSubstr("gdalwarp -r bilinear -t_srs")));
}

TEST_F(OddSystems, ExchangedCoordinatesAreRecognised) {
    write();
    RasterSpec exchanged = ground();
    exchanged.transform = {kY0, m_basin.cell_m, 0.0, kX0 + kSideM, 0.0, -m_basin.cell_m};
    write_raster("dem.tif", exchanged);
    expect_fault({"dem.tif", "no overlap", "easting and northing look exchanged"});
}

// The same ground in a grid turned by any angle: every height within what two grids of 5 m cells differ by.
TEST_F(OddSystems, ATurnedGridGivesTheSameAnswers) {
    m_basin.cell_m = 5.0;
    write();
    run();
    const auto upright = OutputFile(output()).rows("SELECT ground_elev_m, delivery, status FROM roofs");
    const std::int64_t pads = OutputFile(output()).count("SELECT COUNT(*) FROM pads");
    for (const double degrees : {17.0, 90.0, 200.0}) {
        write_raster("dem.tif", turned_ground(degrees));
        run();
        const auto turned = OutputFile(output()).rows("SELECT ground_elev_m, delivery, status FROM roofs");
        ASSERT_EQ(turned.size(), upright.size());
        for (std::size_t i = 0; i < turned.size(); ++i) {
            EXPECT_NEAR(testing::number(turned[i], "ground_elev_m").value(),
                        testing::number(upright[i], "ground_elev_m").value(), 0.1);
            EXPECT_EQ(testing::text(turned[i], "status"), testing::text(upright[i], "status"));
        }
        EXPECT_NEAR(static_cast<double>(OutputFile(output()).count("SELECT COUNT(*) FROM pads")),
                    static_cast<double>(pads), 2.0);
    }
}

// A tank row's direction counts from the map's north, whatever the grid's.
TEST_F(OddSystems, TheBearingOfARowCountsFromTheMapsNorth) {
    m_basin.settings =
        "[[tanks]]\nvolume_m3 = 5.7\ndiameter_m = 1.83\nheight_m = 2.13\ncount = 4\n[siting]\nmax_cut_m = "
        "0.1\n";
    write();
    run();
    const auto bearings = [&] {
        std::vector<double> all;
        for (const auto& row :
             OutputFile(output()).rows("SELECT row_bearing_deg FROM pads WHERE row_bearing_deg IS NOT "
                                       "NULL AND level = 'roof' ORDER BY roof_id")) {
            all.push_back(testing::number(row, "row_bearing_deg").value());
        }
        return all;
    };
    // Along a contour of ground that mostly rises to the east by north: near 160 degrees, whichever grid it is.
    const std::vector<double> upright = bearings();
    ASSERT_FALSE(upright.empty());
    write_raster("dem.tif", turned_ground(40.0));
    run();
    const std::vector<double> turned = bearings();
    ASSERT_FALSE(turned.empty());
    const auto mean_of = [](const std::vector<double>& directions) {
        double east = 0.0;
        double north = 0.0;
        for (const double degrees : directions) {
            east += std::sin(2.0 * degrees * M_PI / 180.0);
            north += std::cos(2.0 * degrees * M_PI / 180.0);
        }
        return std::atan2(east, north) * 90.0 / M_PI;
    };
    EXPECT_NEAR(std::remainder(mean_of(turned) - mean_of(upright), 180.0), 0.0, 12.0);
}

TEST_F(OddRasters, PartsThatCannotBeReadAreToldBeforeWorkStartsAndInTheRows) {
    write();
    RasterSpec spec = ground();
    spec.options = {"COMPRESS=DEFLATE", "TILED=YES", "BLOCKXSIZE=64", "BLOCKYSIZE=64"};
    write_raster("dem.tif", spec);
    const auto size = static_cast<std::streamoff>(fs::file_size(m_folder.file("dem.tif")));
    {
        std::fstream file(m_folder.file("dem.tif"), std::ios::in | std::ios::out | std::ios::binary);
        file.seekp(size * 2 / 5);
        file << std::string(static_cast<std::size_t>(size / 5), '\xFF');
    }
    EXPECT_THAT(looked(Severity::warning),
                AllOf(HasSubstr("terrain.elevation"), HasSubstr("parts that cannot be read under")));
    run();
    EXPECT_GT(OutputFile(output()).count("SELECT COUNT(*) FROM roofs WHERE flags LIKE '%read_error%'"), 0);
}

}  // namespace
}  // namespace eaveshed
