// The page that `screen` ends with can be had again from the finished file.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <sstream>

#include "eaveshed/cli/program.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;

struct SummarySaid {
    int code = 0;
    std::string out;
    std::string errors;
};

SummarySaid run_summary(const std::vector<std::string>& words) {
    SummarySaid said;
    std::ostringstream out;
    ::testing::internal::CaptureStderr();
    said.code = run_program(words, out);
    said.errors = ::testing::internal::GetCapturedStderr();
    said.out = out.str();
    return said;
}

TEST(SummaryCommand, PrintsWhatScreenPrintedByteForByte) {
    const testing::TempFolder folder;
    const std::string project = std::string(EAVESHED_SOURCE_DIR) + "/testdata/demo/basin.toml";
    const std::string file = folder.file("demo.gpkg");
    const SummarySaid screened = run_summary({"screen", project, "-o", file, "--quiet"});
    EXPECT_EQ(screened.code, 0);
    EXPECT_THAT(screened.out, AllOf(HasSubstr("What the creek would feel"), HasSubstr("Whom to call first"),
                                    HasSubstr("What the answers rest on"), HasSubstr("eaveshed rank " + file)));
    const SummarySaid again = run_summary({"summary", file});
    EXPECT_EQ(again.code, 0);
    EXPECT_EQ(again.out, screened.out);
    const auto json = nlohmann::json::parse(run_summary({"summary", file, "--json"}).out);
    EXPECT_EQ(json["parcels"].size(), 10U);
    EXPECT_EQ(json["parcels"][0]["rank"], 1);
    double felt = 0.0;
    for (const auto& part : json["headline"]["parts"]) {
        felt += part["felt_lps"].get<double>();
    }
    EXPECT_NEAR(felt, json["headline"]["all"]["felt_lps"].get<double>(), 1e-9);
}

TEST(SummaryCommand, AFileOfAnotherProgramIsNamed) {
    const testing::TempFolder folder;
    const SummarySaid no_database = run_summary({"summary", folder.write("notes.gpkg", "not a database")});
    EXPECT_EQ(no_database.code, 2);
    EXPECT_THAT(no_database.errors, AllOf(HasSubstr("notes.gpkg"), HasSubstr("eaveshed screen")));
    const SummarySaid absent = run_summary({"summary", folder.file("absent.gpkg")});
    EXPECT_EQ(absent.code, 2);
    EXPECT_THAT(absent.errors, HasSubstr("absent.gpkg"));
    const SummarySaid other =
        run_summary({"summary", std::string(EAVESHED_SOURCE_DIR) + "/testdata/demo/buildings.gpkg"});
    EXPECT_EQ(other.code, 2);
    EXPECT_THAT(other.errors, AllOf(HasSubstr("buildings.gpkg"), HasSubstr("eaveshed screen")));
}

}  // namespace
}  // namespace eaveshed
