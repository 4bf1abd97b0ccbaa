// One rain record told in many formats gives the same rows, to the bit.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <functional>

#include <fmt/format.h>

#include "run/run_project.hpp"
#include "run/small_basin.hpp"
#include "support/output_file.hpp"
#include "support/zarr_store.hpp"

namespace eaveshed {
namespace {

using testing::NetcdfSpec;
using testing::OutputFile;
using testing::OutputRow;
using testing::RasterSpec;
using testing::TempFolder;

constexpr int kFirstYear = 1990;
constexpr int kSteps = 12 * kYears;
// Cells of 1/64 degree around the basin: exact in binary, so that every format gives the very same grid.
constexpr double kCell = 1.0 / 64.0;
constexpr double kWest = -123.0625;
constexpr double kNorth = 37.9375;
constexpr std::size_t kSide = 8;

// Whole tenths of a millimetre, which packed numbers hold too.
double tenths(int step, std::size_t row, std::size_t col) {
    return std::round(10.0 * rain_mm(step, {kX0 + 40.0 * static_cast<double>(col), kY0})) +
           3.0 * static_cast<double>(row);
}

NetcdfSpec as_netcdf() {
    NetcdfSpec spec;
    for (std::size_t i = 0; i < kSide; ++i) {
        spec.longitudes.push_back(kWest + kCell * (static_cast<double>(i) + 0.5));
        spec.latitudes.push_back(kNorth - kCell * (static_cast<double>(kSide - i) - 0.5));  // from south to north
    }
    spec.time_units = "days since 1990-01-01";
    spec.calendar = "standard";
    spec.units = "mm";
    spec.standard_name = "precipitation_amount";
    const auto first = day_number(Calendar::standard, {kFirstYear, 1, 1});
    for (int step = 0; step < kSteps; ++step) {
        const Date date{kFirstYear + step / 12, step % 12 + 1, 15};
        spec.times.push_back(static_cast<double>(day_number(Calendar::standard, date) - first));
        for (std::size_t row = kSide; row-- > 0;) {
            for (std::size_t col = 0; col < kSide; ++col) {
                spec.stored.push_back(tenths(step, row, col) * 0.1);
            }
        }
    }
    return spec;
}

RasterSpec as_stack(int from, int to) {
    RasterSpec spec;
    spec.rows = kSide;
    spec.cols = kSide;
    spec.crs = "EPSG:4326";
    spec.transform = {kWest, kCell, 0.0, kNorth, 0.0, -kCell};
    spec.type = GDT_Float64;
    spec.unit = "mm";
    for (int step = from; step < to; ++step) {
        std::vector<double>& band = spec.bands.emplace_back();
        for (std::size_t row = 0; row < kSide; ++row) {
            for (std::size_t col = 0; col < kSide; ++col) {
                band.push_back(tenths(step, row, col) * 0.1);
            }
        }
    }
    return spec;
}

std::string month_of(int step, const char* mark) {
    return fmt::format("{:04}{}{:02}", kFirstYear + step / 12, mark, step % 12 + 1);
}

class RainFormatsTest : public ::testing::Test {
protected:
    void SetUp() override {
        write_basin(m_folder, m_basin);
        RasterSpec stack = as_stack(0, kSteps);
        for (int step = 0; step < kSteps; ++step) {
            stack.descriptions.push_back(month_of(step, "-"));
        }
        testing::write_raster(m_folder.file("stack.tif"), stack);
        m_expected = rows("stack.tif");
        ASSERT_EQ(m_expected.size(), 24U);
        ASSERT_EQ(std::get<std::string>(m_expected.front().at("status")), "ok");
    }

    std::vector<OutputRow> rows(const std::string& source) {
        std::string text = project_text(m_basin);
        const std::string before = "source = \"rain.tif\"\nkind = \"monthly\"\nstart = \"1990-11\"\n";
        text.replace(text.find(before), before.size(), "source = \"" + source + "\"\nkind = \"monthly\"\n");
        screened(m_folder.write("told.toml", text), m_folder.file("out.gpkg"), {.overwrite = true});
        return OutputFile(m_folder.file("out.gpkg")).rows("SELECT * FROM roofs ORDER BY fid");
    }
    void expect_same(const NetcdfSpec& spec, const char* what) {
        std::filesystem::remove(m_folder.file("told.nc"));
        testing::write_netcdf(m_folder.file("told.nc"), spec);
        EXPECT_TRUE(rows("told.nc") == m_expected) << what;
    }

    TempFolder m_folder;
    SmallBasin m_basin;
    std::vector<OutputRow> m_expected;
};

TEST_F(RainFormatsTest, NetcdfOfEveryKindGivesTheRowsOfTheStack) {
    expect_same(as_netcdf(), "rows from south to north");
    for (const char* const order : {"txy", "yxt"}) {
        NetcdfSpec spec = as_netcdf();
        spec.order = order;
        expect_same(spec, order);
    }
    NetcdfSpec spec = as_netcdf();
    for (double& longitude : spec.longitudes) {
        longitude += 360.0;
    }
    expect_same(spec, "longitudes to 360");
    spec = as_netcdf();
    spec.type = GDT_Int16;
    spec.scale = 0.1;
    spec.fill = -32768.0;
    for (double& value : spec.stored) {
        value = std::round(value * 10.0);
    }
    expect_same(spec, "packed");
}

TEST_F(RainFormatsTest, AStoreAndAFileAMonthGiveTheRowsOfTheStack) {
    testing::write_zarr(m_folder.file("told.zarr"), as_netcdf());
    EXPECT_TRUE(rows("told.zarr") == m_expected);
    const OutputFile output(m_folder.file("out.gpkg"));
    EXPECT_NE(output.text("SELECT value FROM run_record WHERE value LIKE '%told.zarr%' LIMIT 1"), "");
    for (int step = 0; step < kSteps; ++step) {
        testing::write_raster(m_folder.file("m_" + month_of(step, "") + ".tif"), as_stack(step, step + 1));
    }
    EXPECT_TRUE(rows("m_*.tif") == m_expected);
}

}  // namespace
}  // namespace eaveshed
