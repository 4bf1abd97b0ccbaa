// A project file drafted from files, and then used.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <map>

#include "support/output_file.hpp"
#include "support/program_said.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using testing::program_said;
using testing::ProgramSaid;

const std::string kDemoFolder = std::string(EAVESHED_SOURCE_DIR) + "/testdata/demo";

TEST(CheckNew, ADraftFromTheDemosFilesIsCheckedAndScreenedAsItStands) {
    const testing::TempFolder folder;
    const std::string project = folder.file("drafted.toml");
    const ProgramSaid drafted = program_said({"check", "--new", kDemoFolder, "-o", project});
    EXPECT_EQ(drafted.code, 0) << drafted.errors;
    EXPECT_THAT(drafted.out, AllOf(HasSubstr("footprints.source"), HasSubstr("rain.source"),
                                   HasSubstr("evapotranspiration.source"), HasSubstr("eaveshed check " + project)));
    EXPECT_EQ(program_said({"check", project}).code, 0);
    EXPECT_EQ(program_said({"screen", project, "-o", folder.file("drafted.gpkg"), "--quiet"}).code, 0);
    EXPECT_EQ(program_said({"screen", kDemoFolder + "/basin.toml", "-o", folder.file("demo.gpkg"), "--quiet"}).code, 0);
    // Fields and files are those of the demo's own project, so what rests on these alone is the same.
    const std::string rows =
        "SELECT roof_id, plan_area_m2 || ' ' || eave_elev_m || ' ' || fill_rain_mm AS facts FROM roofs";
    std::map<std::string, std::string> drafted_rows;
    for (const testing::OutputRow& row : testing::OutputFile(folder.file("drafted.gpkg")).rows(rows)) {
        drafted_rows[testing::text(row, "roof_id")] = testing::text(row, "facts");
    }
    std::size_t same = 0;
    const auto demo_rows = testing::OutputFile(folder.file("demo.gpkg")).rows(rows + " WHERE facts IS NOT NULL");
    for (const testing::OutputRow& row : demo_rows) {
        same += drafted_rows[testing::text(row, "roof_id")] == testing::text(row, "facts") ? 1U : 0U;
    }
    EXPECT_GT(same, 100U);
    EXPECT_EQ(same, demo_rows.size());
}

TEST(CheckNew, WithoutANameTheProjectFileIsTheResult) {
    const ProgramSaid said =
        program_said({"check", "--new", kDemoFolder + "/dem.tif", kDemoFolder + "/buildings.gpkg"});
    EXPECT_EQ(said.code, 0);
    EXPECT_THAT(said.out, AllOf(HasSubstr("[footprints]"), HasSubstr("[rain]\n# MISSING")));
}

TEST(CheckNew, EveryFileOfAFolderIsListedWithWhatToDoAboutIt) {
    const testing::TempFolder folder;
    std::filesystem::create_directories(folder.file("in/gauges"));
    folder.write("in/septic.zip", "x");
    folder.write("in/creeks.kml", "x");
    folder.write("in/~$measured.xlsx", "x");
    folder.write("in/gauges/g.csv", "# exported\ndate,rain_mm\n1991-10-01,0\n1991-10-02,3.5\n");
    const ProgramSaid said = program_said({"check", "--new", folder.file("in"), "-o", folder.file("new.toml")});
    EXPECT_EQ(said.code, 0) << said.errors;
    EXPECT_THAT(said.out, AllOf(HasSubstr("from 4 inputs"), HasSubstr("unzip"), HasSubstr("ogr2ogr"),
                                HasSubstr("another program"), HasSubstr("rain.source")));
}

TEST(CheckNew, NeverReplacesAFile) {
    const testing::TempFolder folder;
    const std::string project = folder.write("mine.toml", "precious");
    const ProgramSaid said = program_said({"check", "--new", kDemoFolder, "-o", project});
    EXPECT_EQ(said.code, 2);
    EXPECT_THAT(said.errors, AllOf(HasSubstr("mine.toml"), HasSubstr("exists"), HasSubstr("-o")));
    std::ifstream in(project);
    std::string kept;
    std::getline(in, kept);
    EXPECT_EQ(kept, "precious");
}

TEST(CheckNew, WrongWordsAreTold) {
    const testing::TempFolder folder;
    EXPECT_EQ(program_said({"check"}).code, 2);
    EXPECT_EQ(program_said({"check", "a.toml", "--new", kDemoFolder}).code, 2);
    EXPECT_EQ(program_said({"check", "--new", folder.file("none")}).code, 2);
    EXPECT_EQ(program_said({"check", "--new", folder.write("a.docx", "x")}).code, 2);
    EXPECT_EQ(program_said({"check", "--new", kDemoFolder, "-o", folder.file("no/such/x.toml")}).code, 2);
    EXPECT_EQ(program_said({"check", "--new", kDemoFolder, "-o", folder.file("x.gpkg")}).code, 2);
}

}  // namespace
}  // namespace eaveshed
