// What must not change the result: threads, tiles, the order of the input, units, coordinate reference systems.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <random>
#include <set>

#include "run/run_project.hpp"
#include "run/small_basin.hpp"
#include "support/output_file.hpp"

namespace eaveshed {
namespace {

using testing::by_roof;
using testing::bytes_of;
using testing::number;
using testing::OutputFile;
using testing::OutputRow;
using testing::TempFolder;
using testing::text;

using Rows = std::map<std::string, OutputRow>;

constexpr const char* kAllRoofs = "SELECT * FROM roofs ORDER BY fid";

// Rows of a basin, and its file beside them for as long as the folder lives.
Rows rows_of(const SmallBasin& basin) {
    const TempFolder folder;
    const std::string project = write_basin(folder, basin);
    screened(project, folder.file("out.gpkg"));
    return by_roof(OutputFile(folder.file("out.gpkg")).rows(kAllRoofs));
}

const Rows& plain_rows() {
    static const Rows kRows = rows_of({});
    return kRows;
}

// Texts and nulls equal; numbers to `relative`, those of `absolute` columns to so many units.
void expect_near(const Rows& rows, const Rows& expected, double relative,
                 const std::map<std::string, double>& absolute) {
    ASSERT_EQ(rows.size(), expected.size());
    for (const auto& [id, row] : rows) {
        for (const auto& [column, value] : row) {
            if (column == "fid" || column == "geom") {
                continue;
            }
            const OutputRow& other = expected.at(id);
            const auto a = number(row, column);
            const auto b = number(other, column);
            if (!a || !b) {
                EXPECT_EQ(value, other.at(column)) << id << ' ' << column;
                continue;
            }
            const auto own = absolute.find(column);
            const double tolerance = own != absolute.end() ? own->second : relative * std::abs(*b);
            EXPECT_NEAR(*a, *b, tolerance) << id << ' ' << column;
        }
    }
}

TEST(Invariance, TheSmallBasinIsWorthComparing) {
    std::set<double> harvests;
    std::size_t with_parcel = 0;
    for (const auto& [id, row] : plain_rows()) {
        EXPECT_EQ(text(row, "status"), "ok") << id;
        EXPECT_TRUE(number(row, "window_low_elev_m")) << id;
        harvests.insert(number(row, "harvest_mean_m3").value());
        with_parcel += text(row, "parcel_id").empty() ? 0U : 1U;
    }
    EXPECT_EQ(harvests.size(), 24U);
    EXPECT_EQ(with_parcel, 12U);
}

TEST(Invariance, ThreadsAndTilesChangeNoByte) {
    const TempFolder folder;
    screened(demo_project(), folder.file("one.gpkg"), {.threads = 1, .tile_side_m = 500.0});
    const std::string expected = bytes_of(folder.file("one.gpkg"));
    ASSERT_GT(expected.size(), 100000U);
    for (const unsigned threads : {1U, 2U, 3U, 7U}) {
        for (const double side : {137.0, 500.0, 5000.0}) {
            screened(demo_project(), folder.file("other.gpkg"),
                     {.threads = threads, .tile_side_m = side, .overwrite = true});
            EXPECT_TRUE(bytes_of(folder.file("other.gpkg")) == expected) << threads << " threads, tiles of " << side;
        }
    }
}

TEST(Invariance, MemoryChangesNoByte) {
    const TempFolder folder;
    screened(demo_project(), folder.file("one.gpkg"));
    const std::string expected = bytes_of(folder.file("one.gpkg"));
    for (const std::size_t mib : {125U, 200U, 4096U}) {
        screened(demo_project(), folder.file("other.gpkg"), {.threads = 3, .overwrite = true, .memory_mib = mib});
        EXPECT_TRUE(bytes_of(folder.file("other.gpkg")) == expected) << mib << " MiB";
    }
}

TEST(Invariance, TheOrderOfTheInputChangesOnlyTheOrderOfTheRows) {
    SmallBasin shuffled;
    std::mt19937 engine(7);
    std::shuffle(shuffled.roofs.begin(), shuffled.roofs.end(), engine);
    const TempFolder folder;
    screened(write_basin(folder, shuffled), folder.file("out.gpkg"), {.threads = 2});
    const auto list = OutputFile(folder.file("out.gpkg")).rows(kAllRoofs);
    ASSERT_EQ(list.size(), shuffled.roofs.size());
    for (std::size_t i = 0; i < list.size(); ++i) {
        EXPECT_EQ(text(list[i], "roof_id"), shuffled.roofs[i].id);
        OutputRow row = list[i];
        OutputRow expected = plain_rows().at(shuffled.roofs[i].id);
        row.erase("fid");
        expected.erase("fid");
        EXPECT_TRUE(row == expected) << shuffled.roofs[i].id;
    }
}

TEST(Invariance, ARoofTurnedAndMovedUnderOneRainKeepsItsHarvestPerArea) {
    SmallBasin basin;
    basin.parcels_crs.clear();
    basin.roofs.clear();
    constexpr double kTurns[] = {0.0, 17.0, 90.0, 133.0, 271.0};
    for (int i = 0; i < 5; ++i) {
        basin.roofs.push_back({.id = fmt::format("R{}", i),
                               .corner = {kX0 + 300.0 + 100.0 * i, kY0 + 900.0 - 130.0 * i},
                               .width_m = 40.0,
                               .depth_m = 25.0,
                               .turn_deg = kTurns[i]});
    }
    const TempFolder folder;
    const std::string project = write_basin(folder, basin);
    // One cell: the same rain everywhere.
    testing::RasterSpec rain = raster_over_basin(kBasinCrs, 5000.0, 1000.0, 12 * kYears, [](int step, Point) {
        return rain_mm(step, {kX0, kY0});
    });
    ASSERT_EQ(rain.rows * rain.cols, 1);
    rain.unit = "mm";
    testing::write_raster(folder.file("rain.tif"), rain);
    screened(project, folder.file("out.gpkg"));
    const Rows rows = by_roof(OutputFile(folder.file("out.gpkg")).rows(kAllRoofs));
    const auto per_area = [&](const std::string& id, const char* column) {
        return number(rows.at(id), column).value() / number(rows.at(id), "plan_area_m2").value();
    };
    for (const auto& [id, row] : rows) {
        // 1000 m2 on the map; the scale of the map squared is 0.9996^2 at its central meridian (EPSG:32610).
        EXPECT_NEAR(number(row, "plan_area_m2").value(), 1000.0 / (0.9996 * 0.9996), 1e-6 * 1000.0) << id;
        for (const char* const column : {"harvest_mean_m3", "harvest_dependable_m3", "first_flush_m3"}) {
            EXPECT_NEAR(per_area(id, column), per_area("R0", column), 1e-9 * per_area("R0", column)) << id << column;
        }
        EXPECT_EQ(number(row, "fill_rain_mm"), number(rows.at("R0"), "fill_rain_mm")) << id;
    }
}

const std::map<std::string, double> kElevations1e6{{"ground_elev_m", 1e-6},
                                                   {"eave_elev_m", 1e-6},
                                                   {"window_low_elev_m", 1e-6},
                                                   {"window_high_elev_m", 1e-6},
                                                   {"pad_elev_m", 1e-6}};

TEST(Invariance, ElevationsInFeetGiveTheRowsOfElevationsInMetres) {
    SmallBasin said_by_file;
    said_by_file.value_unit_m = 0.3048;  // international foot, exact (1959)
    said_by_file.band_unit = "ft";
    expect_near(rows_of(said_by_file), plain_rows(), 1e-6, kElevations1e6);

    SmallBasin said_by_setting;
    said_by_setting.value_unit_m = 0.3048;
    said_by_setting.terrain_settings = "vertical_unit = \"ft\"\n";
    expect_near(rows_of(said_by_setting), plain_rows(), 1e-6, kElevations1e6);

    SmallBasin survey;
    survey.value_unit_m = 1200.0 / 3937.0;  // US survey foot, exact
    survey.terrain_settings = "vertical_unit = \"us-ft\"\n";
    expect_near(rows_of(survey), plain_rows(), 1e-6, kElevations1e6);
}

TEST(Invariance, ParcelsAndRainInDegreesGiveTheSameIdsAndNearlyTheSameNumbers) {
    SmallBasin basin;
    basin.parcels_crs = "EPSG:4326";
    basin.rain_crs = "EPSG:4326";
    expect_near(rows_of(basin), plain_rows(), 2e-3, {});
}

TEST(Invariance, FootprintsInDegreesGiveTheSameIdsAndNearlyTheSameNumbers) {
    SmallBasin basin;
    basin.footprints_crs = "EPSG:4326";
    // The area on the ellipsoid does not depend on the map: digits only. A wall of exactly so many half cells takes one
    // sample of the ground more or less for a digit of its length.
    expect_near(rows_of(basin), plain_rows(), 1e-6,
                {{"ground_elev_m", 0.1}, {"eave_elev_m", 0.1}, {"window_high_elev_m", 0.1}});
}

TEST(Invariance, ATerrainInDegreesGivesTheSameWaterAndNearlyTheSamePlace) {
    SmallBasin basin;
    basin.terrain_crs = "EPSG:4326";
    basin.cell_m = 4.0;
    const Rows rows = rows_of(basin);
    for (const auto& [id, row] : rows) {
        const OutputRow& expected = plain_rows().at(id);
        EXPECT_EQ(row.at("harvest_mean_m3"), expected.at("harvest_mean_m3")) << id;
        EXPECT_EQ(row.at("demand_m3"), expected.at("demand_m3")) << id;
        EXPECT_EQ(text(row, "parcel_id"), text(expected, "parcel_id"));
        EXPECT_NEAR(number(row, "ground_elev_m").value(), number(expected, "ground_elev_m").value(), 0.1) << id;
        EXPECT_NEAR(number(row, "eave_elev_m").value(), number(expected, "eave_elev_m").value(), 0.1) << id;
        // The middle of the garden, found on another grid.
        EXPECT_NEAR(number(row, "window_low_elev_m").value(), number(expected, "window_low_elev_m").value(), 1.0) << id;
    }
}

TEST(Invariance, UsColumnsStandBesideTheSiOnesWithoutChangingThem) {
    SmallBasin basin;
    basin.settings = "[output]\nunits = \"us\"\n";
    const Rows rows = rows_of(basin);
    for (const auto& [id, row] : rows) {
        for (const auto& [column, value] : plain_rows().at(id)) {
            EXPECT_EQ(row.at(column), value) << id << ' ' << column;
        }
        // 1 US gallon = 231 cubic inches, 1 inch = 0.0254 m, both exact (NIST Handbook 44, appendix C).
        EXPECT_NEAR(number(row, "harvest_mean_gal").value(),
                    number(row, "harvest_mean_m3").value() / (231.0 * 0.0254 * 0.0254 * 0.0254), 1e-6);
        EXPECT_NEAR(number(row, "eave_elev_ft").value(), number(row, "eave_elev_m").value() / 0.3048, 1e-9);
    }
}

}  // namespace
}  // namespace eaveshed
