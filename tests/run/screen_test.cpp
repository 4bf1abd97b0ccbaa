// How a run begins and ends: work folder, stops, what stands under the output's name.
#include "eaveshed/run/screen.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/stat.h>

#include <csignal>
#include <filesystem>

#include "eaveshed/files/file.hpp"
#include "run/run_project.hpp"
#include "run/small_basin.hpp"
#include "support/expect_error.hpp"
#include "support/output_file.hpp"

namespace eaveshed {
namespace {

using testing::OutputFile;
using testing::TempFolder;
namespace fs = std::filesystem;

TEST(Screen, AStopAskedForLeavesNothingUnderTheOutputsName) {
    const TempFolder folder;
    const std::string project = write_basin(folder, {});
    const std::string output = folder.file("out.gpkg");
    for (const int signal_number : {SIGINT, SIGTERM}) {
        request_stop(signal_number);
        try {
            screened(project, output);
            ADD_FAILURE() << "not stopped";
        } catch (const Stopped& stopped) {
            EXPECT_EQ(stopped.exit_code(), 128 + signal_number);  // 130 and 143
        }
        request_stop(0);
        EXPECT_FALSE(fs::exists(output));
        EXPECT_FALSE(fs::exists(output + ".work"));
    }
    screened(project, output);
    EXPECT_TRUE(fs::exists(output));
}

TEST(Screen, AStopKeepsTheFileThatWasToBeReplaced) {
    const TempFolder folder;
    const std::string project = write_basin(folder, {});
    folder.write("out.gpkg", "old");
    request_stop(SIGTERM);
    EXPECT_THROW(screened(project, folder.file("out.gpkg"), {.overwrite = true}), Stopped);
    request_stop(0);
    EXPECT_EQ(testing::bytes_of(folder.file("out.gpkg")), "old");
}

TEST(Screen, WhatAKilledRunLeftBehindIsClearedAway) {
    const TempFolder folder;
    const std::string project = write_basin(folder, {});
    fs::create_directories(folder.path() / "out.gpkg.work" / "sub");
    folder.write("out.gpkg.work/rows", "torn");
    folder.write("out.gpkg.work/lock", "work folder of eaveshed\n");
    screened(project, folder.file("out.gpkg"));
    EXPECT_FALSE(fs::exists(folder.file("out.gpkg.work")));
    EXPECT_EQ(OutputFile(folder.file("out.gpkg")).count("SELECT COUNT(*) FROM roofs"), 24);
}

TEST(Screen, ASecondRunAtWorkOnTheSameOutputIsAPassingTrouble) {
    const TempFolder folder;
    const std::string project = write_basin(folder, {});
    const WorkFolder other(folder.path() / "out.gpkg.work");
    testing::expect_error([&] { screened(project, folder.file("out.gpkg")); }, Fault::passing, {"another run"});
    EXPECT_FALSE(fs::exists(folder.file("out.gpkg")));
}

TEST(Screen, TheProjectsOwnOutputIsRelativeToTheProjectFile) {
    const TempFolder folder;
    SmallBasin basin;
    basin.settings = "[basin]\noutput = \"named.gpkg\"\n";
    const ScreenResult result = screened(write_basin(folder, basin), "");
    EXPECT_EQ(fs::path(result.output), folder.path() / "named.gpkg");
    EXPECT_TRUE(fs::exists(folder.file("named.gpkg")));

    EXPECT_EQ(result.counts.rows(), 24U);
}

TEST(Screen, AnOutputInAnotherCrsHoldsTheSameRows) {
    const TempFolder folder;
    SmallBasin basin;
    write_basin(folder, basin);
    screened(folder.file("basin.toml"), folder.file("own.gpkg"));
    basin.settings = "[output]\ncrs = \"EPSG:4326\"\nstorage_curve = false\n";
    folder.write("basin.toml", project_text(basin));
    screened(folder.file("basin.toml"), folder.file("degrees.gpkg"));
    const OutputFile own(folder.file("own.gpkg"));
    const OutputFile degrees(folder.file("degrees.gpkg"));
    EXPECT_EQ(degrees.text("SELECT organization_coordsys_id FROM gpkg_geometry_columns JOIN gpkg_spatial_ref_sys "
                           "USING (srs_id) WHERE table_name = 'roofs'"),
              "4326");
    EXPECT_EQ(degrees.count("SELECT COUNT(*) FROM storage_curve"), 0);
    for (const char* const column : {"roof_id", "flags", "harvest_mean_m3", "eave_elev_m"}) {
        const std::string sql = "SELECT group_concat(" + std::string(column) + ", ';') FROM roofs";
        EXPECT_EQ(degrees.text(sql), own.text(sql)) << column;
    }
    // Longitudes and latitudes of the zone's middle (EPSG:32610: 123 W).
    EXPECT_NEAR(std::stod(degrees.text("SELECT min_x FROM gpkg_contents WHERE table_name = 'roofs'")), -123.0, 0.02);
    EXPECT_NEAR(std::stod(degrees.text("SELECT max_y FROM gpkg_contents WHERE table_name = 'use_points'")), 37.86,
                0.02);
}

TEST(Screen, RowsWithTroublesOfTheirOwnAreKept) {
    const TempFolder folder;
    SmallBasin basin;
    basin.roofs.resize(3);
    basin.roofs[1].corner.x += 40000.0;  // beyond terrain and rain
    basin.roofs[2].width_m = 1.0;        // 9 m2
    write_basin(folder, basin);
    screened(folder.file("basin.toml"), folder.file("out.gpkg"));
    const OutputFile file(folder.file("out.gpkg"));
    EXPECT_EQ(file.text("SELECT group_concat(roof_id || status, ' ') FROM roofs"), "R00ok R01no_rain R02too_small");
    EXPECT_EQ(file.count("SELECT COUNT(*) FROM roofs WHERE geom IS NOT NULL AND plan_area_m2 > 0"), 3);
}

TEST(Screen, AParcelInOnePieceWithTwoRoofsAndAnUnusualIdIsNamedAsItIs) {
    const TempFolder folder;
    SmallBasin basin;
    basin.roofs.resize(2);
    basin.roofs[0].id = "a'b\"c;--";
    basin.roofs[1].id = "H\xC3\xA4user 1";
    write_basin(folder, basin);
    screened(folder.file("basin.toml"), folder.file("out.gpkg"));
    const OutputFile file(folder.file("out.gpkg"));
    const auto rows = file.rows("SELECT roof_id, parcel_id FROM roofs ORDER BY fid");
    EXPECT_EQ(testing::text(rows.at(0), "roof_id"), "a'b\"c;--");
    EXPECT_EQ(testing::text(rows.at(1), "roof_id"), "H\xC3\xA4user 1");
    EXPECT_EQ(testing::text(rows.at(1), "parcel_id"), "PR01");
}

}  // namespace
}  // namespace eaveshed
