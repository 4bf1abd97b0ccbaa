#include "eaveshed/arrays/grid_array.hpp"

#include <algorithm>
#include <cmath>
#include <memory>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "support/expect_error.hpp"
#include "support/raster_file.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using ::testing::ElementsAre;
using testing::expect_input_error;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using testing::NetcdfSpec;
using testing::TempFolder;

using Group = std::shared_ptr<GDALGroup>;
using Dimensions = std::vector<std::shared_ptr<GDALDimension>>;

void put(const Group& group, const std::string& name, const Dimensions& dimensions, const std::vector<double>& values,
         const std::map<std::string, std::string>& attributes) {
    const auto number = GDALExtendedDataType::Create(GDT_Float64);
    const auto array = group->CreateMDArray(name, dimensions, number);
    for (const auto& [key, value] : attributes) {
        array->CreateAttribute(key, {}, GDALExtendedDataType::CreateString())->Write(value.c_str());
    }
    std::vector<GUInt64> start;
    std::vector<std::size_t> count;
    for (const auto& dimension : dimensions) {
        start.push_back(0);
        count.push_back(dimension->GetSize());
    }
    ASSERT_TRUE(array->Write(start.data(), count.data(), nullptr, nullptr, number, values.data()));
}

// Two months of 2 x 2 cells: rows and columns stand in the root, time with its bounds and the rain in a group.
void write_grouped(const std::string& path) {
    GdalSession::start();
    const std::unique_ptr<GDALDataset> file(
        GetGDALDriverManager()->GetDriverByName("netCDF")->CreateMultiDimensional(path.c_str(), nullptr, nullptr));
    const Group root = file->GetRootGroup();
    const auto y = root->CreateDimension("lat", GDAL_DIM_TYPE_HORIZONTAL_Y, "", 2);
    const auto x = root->CreateDimension("lon", GDAL_DIM_TYPE_HORIZONTAL_X, "", 2);
    put(root, "lat", {y}, {45.5, 46.5}, {{"units", "degrees_north"}});
    put(root, "lon", {x}, {10.5, 11.5}, {{"units", "degrees_east"}});
    const Group group = root->CreateGroup("monthly", nullptr);
    const auto time = group->CreateDimension("time", GDAL_DIM_TYPE_TEMPORAL, "", 2);
    const auto pair = group->CreateDimension("bnds", "", "", 2);
    put(group, "time", {time}, {31, 59},
        {{"units", "days since 1990-01-01"}, {"calendar", "noleap"}, {"bounds", "time_bnds"}});
    put(group, "time_bnds", {time, pair}, {0, 31, 31, 59}, {});
    put(group, "pr", {time, y, x}, {1, 2, 3, 4, 5, 6, 7, 8}, {{"units", "mm"}});
}

class GridArrayTest : public ::testing::Test {
protected:
    GridArray open(const std::string& variable = "", const std::string& select = "") {
        const ArrayWish wish{.where = "rain.source \"a.nc\"",
                             .section = "rain",
                             .standard_names = {"precipitation_flux"},
                             .variable = variable,
                             .select = select};
        return open_array(m_path, wish, m_findings);
    }
    void write(const NetcdfSpec& spec) const { testing::write_netcdf(m_path, spec); }

    TempFolder m_folder;
    std::string m_path = m_folder.file("a.nc");
    Findings m_findings;
};

NetcdfSpec two_steps() {
    NetcdfSpec spec;
    spec.longitudes = {10.5, 11.5, 12.5};
    spec.latitudes = {45.5, 46.5};
    spec.times = {15, 45};
    spec.time_units = "days since 1990-01-01";
    spec.units = "mm";
    spec.stored = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12};
    return spec;
}

TEST_F(GridArrayTest, SaysWhereItsCellsLieAndReadsThemFromNorthToSouth) {
    write(two_steps());
    const GridArray array = open();
    EXPECT_EQ(array.grid, (Grid{.x_min = 10.0, .y_max = 47.0, .rows = 2, .cols = 3}));
    EXPECT_EQ(array.unit, "mm");
    EXPECT_EQ(array.steps, 2U);
    EXPECT_THAT(array.times, ElementsAre(15.0, 45.0));
    EXPECT_THAT(array.step_bounds, IsEmpty());
    EXPECT_TRUE(array.place.y_up);
    const ArrayReader reader(array.place);
    ASSERT_TRUE(reader.intact());
    std::vector<double> values(4);
    ASSERT_TRUE(reader.read({0, 2, 1, 3}, 1, 1, values.data()));
    EXPECT_THAT(values, ElementsAre(11.0, 12.0, 8.0, 9.0));
}

TEST_F(GridArrayTest, WhatBelongsToAVariableOfAGroupIsLookedForInIt) {
    write_grouped(m_path);
    const GridArray array = open();
    EXPECT_EQ(array.place.variable, "/monthly/pr");
    EXPECT_EQ(array.grid, (Grid{.x_min = 10.0, .y_max = 47.0, .rows = 2, .cols = 2}));
    EXPECT_EQ(array.calendar, "noleap");
    EXPECT_THAT(array.times, ElementsAre(31.0, 59.0));
    EXPECT_THAT(array.step_bounds, ElementsAre(0.0, 31.0, 31.0, 59.0));
}

TEST_F(GridArrayTest, AnotherDimensionIsChosenByItsCoordinate) {
    NetcdfSpec spec = two_steps();
    spec.levels = 2;
    spec.level_values = {850, 500};
    spec.stored.resize(24);
    for (std::size_t i = 0; i < spec.stored.size(); ++i) {
        spec.stored[i] = static_cast<double>(i);
    }
    write(spec);
    expect_input_error([&] { (void)open(); }, {"a dimension beside time", "lev (2: 850, 500)", "lev=850"});
    expect_input_error([&] { (void)open("", "lev=700"); }, {"rain.select", "lev=700"});
    EXPECT_EQ(open("", "lev=500").place.at[1], 1U);
}

TEST_F(GridArrayTest, OfSeveralVariablesTheStandardNameOrTheSettingsChoose) {
    NetcdfSpec spec = two_steps();
    spec.other_variable = "tas";
    write(spec);
    EXPECT_EQ(open().place.variable, "/pr");
    EXPECT_EQ(open("tas").place.variable, "/tas");
    expect_input_error([&] { (void)open("snow"); }, {"no variable \"snow\"", "pr"});
}

TEST_F(GridArrayTest, UnevenRowsAreRefused) {
    NetcdfSpec spec = two_steps();
    spec.longitudes = {10.5, 11.5, 13.0};
    write(spec);
    expect_input_error([&] { (void)open(); }, {"columns that are not evenly spaced"});
}

}  // namespace
}  // namespace eaveshed
