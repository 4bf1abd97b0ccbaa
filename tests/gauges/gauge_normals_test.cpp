#include "eaveshed/gauges/gauge_normals.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>

#include "eaveshed/core/calendar.hpp"
#include "eaveshed/outside/gdal_crs.hpp"
#include "support/expect_error.hpp"
#include "support/raster_file.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using testing::expect_input_error;
using testing::RasterSpec;
using testing::TempFolder;

class GaugeNormalsTest : public ::testing::Test {
protected:
    // 3 x 3 cells of 0.1 degrees from 10 E, 45 N; each month has its number in every cell.
    static RasterSpec months() {
        RasterSpec spec;
        spec.rows = spec.cols = 3;
        spec.crs = "EPSG:4326";
        spec.transform = {10.0, 0.1, 0.0, 45.0, 0.0, -0.1};
        for (int month = 1; month <= 12; ++month) {
            spec.bands.emplace_back(9, month);
        }
        return spec;
    }
    NormalsSource open(const RasterSpec& spec) {
        testing::write_raster(m_folder.file("n.tif"), spec);
        return NormalsSource::open({m_folder.file("n.tif")}, m_findings);
    }
    double at(const NormalsSource& normals, double lon, double lat) {
        return normals.at({{lon, lat}}, crs_from_text("EPSG:4326", "test")).at(0);
    }

    TempFolder m_folder;
    Findings m_findings;
};

TEST_F(GaugeNormalsTest, DepthsOfTheMonthsAreAddedUp) {
    RasterSpec spec = months();
    spec.unit = "mm";
    EXPECT_NEAR(at(open(spec), 10.15, 44.85), 78.0, 1e-9);
    spec.unit = "";
    EXPECT_NEAR(at(open(spec), 10.15, 44.85), 78.0, 1e-9);
}

TEST_F(GaugeNormalsTest, RatesCountByTheDaysOfTheirMonths) {
    RasterSpec spec = months();
    spec.unit = "mm/day";
    double year_mm = 0.0;
    for (int month = 1; month <= 12; ++month) {
        year_mm += month * mean_year_days(month);
    }
    EXPECT_NEAR(at(open(spec), 10.15, 44.85), year_mm, 1e-9);
}

TEST_F(GaugeNormalsTest, WhatIsNoRainIsRefused) {
    RasterSpec spec = months();
    spec.unit = "degC";
    expect_input_error([&] { (void)open(spec); }, {"rain.normals", "the unit \"degC\""});
}

TEST_F(GaugeNormalsTest, APlaceFarOutsideHasNone) {
    const NormalsSource normals = open(months());
    EXPECT_EQ(at(normals, 9.95, 44.85), 78.0);
    EXPECT_TRUE(std::isnan(at(normals, 9.62, 44.85)));  // the grid ends three cells and more from it
    EXPECT_TRUE(std::isnan(at(normals, 40.0, 44.85)));
}

// A file that is cut short between being opened and being read.
TEST_F(GaugeNormalsTest, AFaultIsNotTakenForAPlaceOutside) {
    RasterSpec spec = months();
    spec.rows = spec.cols = 300;
    spec.transform = {10.0, 0.001, 0.0, 45.0, 0.0, -0.001};
    for (std::vector<double>& band : spec.bands) {
        band.assign(90'000, band.front());
    }
    const NormalsSource normals = open(spec);
    std::filesystem::resize_file(m_folder.file("n.tif"), 16);
    EXPECT_THROW((void)at(normals, 10.15, 44.85), Error);
}

}  // namespace
}  // namespace eaveshed
