// `eaveshed compare` from words to exit code.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <nlohmann/json.hpp>

#include "eaveshed/compare/compared_table.hpp"
#include "support/output_file.hpp"
#include "support/program_said.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using testing::program_said;
using testing::ProgramSaid;

TEST(CompareCommand, PrintsPageListAndJsonOfTheDemo) {
    const testing::TempFolder folder;
    const std::string project = std::string(EAVESHED_SOURCE_DIR) + "/testdata/demo/basin.toml";
    const std::string file = folder.file("demo.gpkg");
    ASSERT_EQ(program_said({"screen", project, "-o", file, "--quiet"}).code, 0);
    const std::string copy = folder.file("copy.gpkg");
    std::filesystem::copy_file(file, copy);
    const std::string csv = folder.file("changes.csv");
    const ProgramSaid page = program_said({"compare", file, copy, "--csv", csv, "--log", folder.file("log")});
    EXPECT_EQ(page.code, 0) << page.errors;
    EXPECT_THAT(page.out, AllOf(HasSubstr("Nothing changed"), HasSubstr("Every row that changed: " + csv)));
    EXPECT_TRUE(page.errors.empty()) << page.errors;
    EXPECT_THAT(testing::bytes_of(csv), HasSubstr("Table,Id,"));
    EXPECT_THAT(testing::bytes_of(folder.file("log")), HasSubstr("compare is done"));
    const ProgramSaid json = program_said({"compare", file, copy, "--json"});
    EXPECT_EQ(nlohmann::json::parse(json.out)["causes"]["none"], true);
    const ProgramSaid again = program_said({"compare", file, copy, "--csv", csv});
    EXPECT_EQ(again.code, 2);
    EXPECT_THAT(again.errors, HasSubstr("--overwrite"));
    EXPECT_TRUE(again.out.empty());
    EXPECT_EQ(program_said({"compare", file, copy, "--csv", csv, "--overwrite"}).code, 0);
}

TEST(CompareCommand, WrongWordsAndFilesAreInputErrors) {
    const testing::TempFolder folder;
    EXPECT_EQ(program_said({"compare"}).code, 2);
    EXPECT_EQ(program_said({"compare", folder.file("a.gpkg")}).code, 2);
    const ProgramSaid absent = program_said({"compare", folder.file("a.gpkg"), folder.file("b.gpkg")});
    EXPECT_EQ(absent.code, 2);
    EXPECT_THAT(absent.errors, HasSubstr("a.gpkg"));
    EXPECT_TRUE(absent.out.empty());
    EXPECT_THAT(program_said({"compare", "--help"}).out, AllOf(HasSubstr("A.gpkg"), HasSubstr("--csv")));
    EXPECT_THAT(program_said({"help"}).out, HasSubstr("compare A.gpkg B.gpkg"));
}

TEST(CompareCommand, ThePageOfTheDocsNamesEveryStepInItsOrderAndWords) {
    const std::string page = testing::bytes_of(std::string(EAVESHED_SOURCE_DIR) + "/docs/comparing.md");
    std::size_t last = 0;
    for (const Term& step : terms_of<ChangeStep>()) {
        const auto at = page.find("| `" + std::string(step.name) + "` | " + std::string(step.meaning));
        ASSERT_NE(at, std::string::npos) << step.name;
        EXPECT_GT(at, last);
        last = at;
    }
}

}  // namespace
}  // namespace eaveshed
