// What `explain` prints follows the run's units; its JSON is in SI whatever they are.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "support/program_said.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;
using testing::program_said;
using testing::ProgramSaid;

std::string said(const std::vector<std::string>& words) {
    const ProgramSaid program = program_said(words);
    EXPECT_EQ(program.code, 0) << words.front() << program.errors;
    return program.out;
}

// The demo, screened into OUT with these lines at its end.
std::string screened_demo(const testing::TempFolder& folder, const std::string& name, const std::string& lines) {
    const std::filesystem::path demo = std::filesystem::path(EAVESHED_SOURCE_DIR) / "testdata" / "demo";
    std::filesystem::copy(demo, folder.path(),
                          std::filesystem::copy_options::recursive | std::filesystem::copy_options::skip_existing);
    std::ifstream file(demo / "basin.toml");
    std::stringstream text;
    text << file.rdbuf();
    const std::string project = folder.write(name + ".toml", text.str() + lines);
    (void)said({"screen", project, "-o", folder.file(name + ".gpkg"), "--quiet"});
    return folder.file(name + ".gpkg");
}

// Without what names the file.
nlohmann::json json_of(const std::vector<std::string>& words) {
    auto json = nlohmann::json::parse(said(words));
    json.erase("file");
    return json;
}

TEST(ExplainCommand, SpeaksInTheUnitsOfTheRunAndItsJsonInSi) {
    const testing::TempFolder folder;
    const std::string us = screened_demo(folder, "us", "\n[output]\nunits = \"us\"\n");
    const std::string si = screened_demo(folder, "si", "");
    const std::string roof_us = said({"explain", us, "--roof", "B00311"});
    const std::string roof_si = said({"explain", si, "--roof", "B00311"});
    EXPECT_THAT(roof_us, AllOf(HasSubstr(" gal"), HasSubstr(" ft"), HasSubstr(" psi"), Not(HasSubstr(" m3")),
                               Not(HasSubstr(" kPa")), HasSubstr("Every stored value agrees")));
    EXPECT_THAT(roof_si, AllOf(HasSubstr(" m3"), HasSubstr(" kPa"), Not(HasSubstr(" ft2")), Not(HasSubstr(" gpm"))));
    EXPECT_EQ(json_of({"explain", us, "--roof", "B00311", "--json"}),
              json_of({"explain", si, "--roof", "B00311", "--json"}));
}

}  // namespace
}  // namespace eaveshed
