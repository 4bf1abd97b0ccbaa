// The command's words and exit codes.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <sstream>

#include "eaveshed/cli/program.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;

struct ReportSaid {
    int code = 0;
    std::string out;
    std::string errors;
};

ReportSaid run_report(const std::vector<std::string>& words) {
    ReportSaid said;
    std::ostringstream out;
    ::testing::internal::CaptureStderr();
    said.code = run_program(words, out);
    said.errors = ::testing::internal::GetCapturedStderr();
    said.out = out.str();
    return said;
}

TEST(ReportCommand, SaysWhatItWroteAndLeavesNothingElseInTheLog) {
    const testing::TempFolder folder;
    const std::string project = std::string(EAVESHED_SOURCE_DIR) + "/testdata/demo/basin.toml";
    const std::string file = folder.file("demo.gpkg");
    ASSERT_EQ(run_report({"screen", project, "-o", file, "--quiet"}).code, 0);
    const std::string letter = folder.write("letter.txt", "Dear {{owner}}");
    const ReportSaid said = run_report({"report", file, "-o", folder.file("report"), "--project", project, "--top", "3",
                                        "--letter", letter, "--log", folder.file("log.jsonl")});
    EXPECT_EQ(said.code, 0) << said.errors;
    EXPECT_THAT(said.out, AllOf(HasSubstr("Report: " + folder.file("report/index.html")), HasSubstr("3 letters"),
                                HasSubstr("delete them after use")));
    EXPECT_EQ(said.errors, "");
    const ReportSaid again = run_report({"report", file, "-o", folder.file("report")});
    EXPECT_EQ(again.code, 2);
    EXPECT_THAT(again.errors, HasSubstr("--overwrite"));
    // Without the inputs the page is made all the same, with warnings.
    const ReportSaid alone = run_report({"report", file, "-o", folder.file("report"), "--overwrite"});
    EXPECT_EQ(alone.code, 0);
    EXPECT_THAT(alone.errors, AllOf(HasSubstr("warning"), HasSubstr("terrain.elevation"), HasSubstr("--project")));
    EXPECT_FALSE(std::filesystem::exists(folder.file("report/letters")));
}

TEST(ReportCommand, WrongWordsAreToldBeforeAnythingIsRead) {
    EXPECT_EQ(run_report({"report", "x.gpkg"}).code, 2);
    EXPECT_EQ(run_report({"report", "x.gpkg", "-o", "y", "--top", "0"}).code, 2);
    EXPECT_THAT(run_report({"report", "x.gpkg", "-o", "y", "--publik"}).errors, HasSubstr("--public"));
    EXPECT_THAT(run_report({"report", "--help"}).out, AllOf(HasSubstr("--letter"), HasSubstr("help letters")));
    EXPECT_THAT(run_report({"help", "letters"}).out, AllOf(HasSubstr("{{parcel_id}}"), HasSubstr("added_m3")));
}

}  // namespace
}  // namespace eaveshed
