#include "eaveshed/raster/vrt_check.hpp"

#include <filesystem>

#include <fmt/format.h>
#include <gtest/gtest.h>

#include "eaveshed/raster/raster_source.hpp"
#include "support/expect_error.hpp"
#include "support/raster_file.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using testing::expect_input_error;
using testing::TempFolder;

class VrtCheckTest : public ::testing::Test {
protected:
    VrtCheckTest() {
        testing::RasterSpec spec;
        spec.rows = 2;
        spec.cols = 3;
        spec.bands = {{1, 2, 3, 4, 5, 6}};
        testing::write_raster(m_folder.file("tile.tif"), spec);
    }

    static std::string dataset(const std::string& inside) {
        return "<VRTDataset rasterXSize=\"3\" rasterYSize=\"2\"><SRS>EPSG:32610</SRS>"
               "<GeoTransform>500000, 1, 0, 4000000, 0, -1</GeoTransform>" +
               inside + "</VRTDataset>";
    }
    static std::string band(const std::string& source, const std::string& kind = "SimpleSource", bool relative = true) {
        return fmt::format(
            "<VRTRasterBand dataType=\"Float32\" band=\"1\"><{0}><SourceFilename relativeToVRT=\"{2}\">{1}"
            "</SourceFilename><SourceBand>1</SourceBand></{0}></VRTRasterBand>",
            kind, source, relative ? 1 : 0);
    }
    std::string write(const std::string& text, const std::string& name = "dem.vrt") const {
        return m_folder.write(name, text);
    }
    static std::vector<double> read(const std::string& path) {
        Findings findings;
        RasterSource source = RasterSource::open("terrain.elevation", {path}, elevation_request({}), findings);
        bool damaged = false;
        std::vector<double> values = source.read({0, 2, 0, 3}, damaged);
        EXPECT_FALSE(damaged);
        return values;
    }
    void expect_refused(const std::string& text, const std::vector<std::string>& parts) const {
        expect_input_error([&] { (void)read(write(text)); }, parts);
    }
    TempFolder m_folder;
};

TEST_F(VrtCheckTest, APlainMosaicIsRead) {
    const std::vector<double> expected{1, 2, 3, 4, 5, 6};
    EXPECT_EQ(read(write(dataset(band("tile.tif")))), expected);
    EXPECT_EQ(read(write(dataset(band("tile.tif", "ComplexSource")))), expected);
    EXPECT_EQ(read(write(dataset(band(m_folder.file("tile.tif"), "SimpleSource", false)))), expected);
    write(dataset(band("tile.tif")), "inner.vrt");
    EXPECT_EQ(read(write(dataset(band("inner.vrt")))), expected);
}

// F7: GDAL opens a VRT whatever its name is.
TEST_F(VrtCheckTest, AVrtUnderAnotherNameIsRefused) {
    const std::string path = write(dataset(band("tile.tif")), "dem.tif");
    expect_input_error([&] { (void)read(path); }, {"dem.tif", "VRT"});
}

// F8: a raw band reads any file of the machine as pixels.
TEST_F(VrtCheckTest, WhatCanReadOrRunAnythingIsRefused) {
    expect_refused(dataset("<VRTRasterBand dataType=\"Byte\" band=\"1\" subClass=\"VRTRawRasterBand\">"
                           "<SourceFilename relativetoVRT=\"0\">/etc/hostname</SourceFilename></VRTRasterBand>"),
                   {"dem.vrt", "VRTRawRasterBand", "gdalbuildvrt"});
    expect_refused(dataset("<VRTRasterBand dataType=\"Byte\" band=\"1\" subClass=\"VRTDerivedRasterBand\">"
                           "<PixelFunctionType>sum</PixelFunctionType></VRTRasterBand>"),
                   {"VRTDerivedRasterBand"});
    expect_refused(dataset("<VRTRasterBand dataType=\"Byte\" band=\"1\">"
                           "<PixelFunctionLanguage>Python</PixelFunctionLanguage></VRTRasterBand>"),
                   {"PixelFunctionLanguage"});
    expect_refused("<VRTDataset rasterXSize=\"3\" rasterYSize=\"2\" subClass=\"VRTWarpedDataset\"></VRTDataset>",
                   {"VRTWarpedDataset"});
    expect_refused(dataset(band("tile.tif", "KernelFilteredSource")), {"KernelFilteredSource"});
    expect_refused(dataset("<VRTRasterBand dataType=\"Byte\" band=\"1\"><Overview><SourceFilename>tile.tif"
                           "</SourceFilename></Overview></VRTRasterBand>"),
                   {"Overview"});
    expect_refused("<VRTDataset rasterXSize=\"3\" rasterYSize=\"2\"><SRS>http://127.0.0.1:9/crs</SRS></VRTDataset>",
                   {"SRS"});
}

TEST_F(VrtCheckTest, SourcesOutsideOfTheFileSystemAreRefused) {
    for (const char* const source : {"/vsicurl/http://127.0.0.1:9/dem.tif", "http://127.0.0.1:9/dem.tif",
                                     "/vsizip/a.zip/dem.tif", "vrt://tile.tif", "NETCDF:\"a.nc\":z",
                                     "GTIFF_DIR:1:tile.tif", "/vsimem/dem.tif", "&lt;GDAL_WMS&gt;&lt;/GDAL_WMS&gt;"}) {
        expect_refused(dataset(band(source, "SimpleSource", false)), {"no plain local file"});
    }
    m_folder.write("page.tif", "<GDAL_WMS><Service name=\"WMS\"/></GDAL_WMS>");
    expect_refused(dataset(band("page.tif")), {"WMS", "page.tif"});
    m_folder.write("text.tif", "no raster");
    expect_refused(dataset(band("text.tif")), {"text.tif"});
    expect_refused(dataset(band("")), {"without a file name"});
}

TEST_F(VrtCheckTest, MissingSourcesAreListedUpToTwenty) {
    std::string sources;
    for (int i = 0; i < 25; ++i) {
        sources += fmt::format(
            "<SimpleSource><SourceFilename relativeToVRT=\"1\">gone_{:02}.tif</SourceFilename>"
            "</SimpleSource>",
            i);
    }
    expect_refused(dataset("<VRTRasterBand dataType=\"Float32\" band=\"1\">" + sources + "</VRTRasterBand>"),
                   {"25 missing", "gone_00.tif", "gone_19.tif", "5 more"});
}

TEST_F(VrtCheckTest, CyclesAndDeepNestsAreRefused) {
    write(dataset(band("dem.vrt")), "other.vrt");
    expect_refused(dataset(band("other.vrt")), {"contains itself"});
    expect_refused(dataset(band("dem.vrt")), {"contains itself"});
    write(dataset(band("tile.tif")), "d.vrt");
    write(dataset(band("d.vrt")), "c.vrt");
    write(dataset(band("c.vrt")), "b.vrt");
    EXPECT_NO_THROW((void)read(m_folder.file("b.vrt")));
    expect_refused(dataset(band("b.vrt")), {"3 deep"});
    // Seen first at a level where it is allowed, then a level deeper where it is not.
    std::string both = band("c.vrt") + band("b.vrt");
    expect_refused(dataset(both), {"3 deep"});
}

TEST_F(VrtCheckTest, BrokenXmlIsRefused) {
    expect_refused("<VRTDataset rasterXSize=\"3\"><VRTRasterBand></VRTDataset>", {"XML"});
}

}  // namespace
}  // namespace eaveshed
