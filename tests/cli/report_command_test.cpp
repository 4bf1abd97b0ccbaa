// The command's words and exit codes.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>

#include "support/program_said.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using testing::program_said;
using testing::ProgramSaid;

TEST(ReportCommand, SaysWhatItWroteAndLeavesNothingElseInTheLog) {
    const testing::TempFolder folder;
    const std::string project = std::string(EAVESHED_SOURCE_DIR) + "/testdata/demo/basin.toml";
    const std::string file = folder.file("demo.gpkg");
    ASSERT_EQ(program_said({"screen", project, "-o", file, "--quiet"}).code, 0);
    const std::string letter = folder.write("letter.txt", "Dear {{owner}}");
    const ProgramSaid said = program_said({"report", file, "-o", folder.file("report"), "--project", project, "--top",
                                           "3", "--letter", letter, "--log", folder.file("log.jsonl")});
    EXPECT_EQ(said.code, 0) << said.errors;
    EXPECT_THAT(said.out, AllOf(HasSubstr("Report: " + folder.file("report/index.html")), HasSubstr("3 letters"),
                                HasSubstr("delete them after use")));
    EXPECT_EQ(said.errors, "");
    const ProgramSaid again = program_said({"report", file, "-o", folder.file("report")});
    EXPECT_EQ(again.code, 2);
    EXPECT_THAT(again.errors, HasSubstr("--overwrite"));
    // Without the inputs the page is made all the same, with warnings.
    const ProgramSaid alone = program_said({"report", file, "-o", folder.file("report"), "--overwrite"});
    EXPECT_EQ(alone.code, 0);
    EXPECT_THAT(alone.errors, AllOf(HasSubstr("warning"), HasSubstr("terrain.elevation"), HasSubstr("--project")));
    EXPECT_FALSE(std::filesystem::exists(folder.file("report/letters")));
}

TEST(ReportCommand, WrongWordsAreToldBeforeAnythingIsRead) {
    EXPECT_EQ(program_said({"report", "x.gpkg"}).code, 2);
    EXPECT_EQ(program_said({"report", "x.gpkg", "-o", "y", "--top", "0"}).code, 2);
    EXPECT_THAT(program_said({"report", "x.gpkg", "-o", "y", "--publik"}).errors, HasSubstr("--public"));
    EXPECT_THAT(program_said({"report", "--help"}).out, AllOf(HasSubstr("--letter"), HasSubstr("help letters")));
    EXPECT_THAT(program_said({"help", "letters"}).out, AllOf(HasSubstr("{{parcel_id}}"), HasSubstr("added_m3")));
}

}  // namespace
}  // namespace eaveshed
