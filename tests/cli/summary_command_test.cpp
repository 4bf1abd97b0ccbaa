// The page that `screen` ends with can be had again from the finished file.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <iterator>
#include <nlohmann/json.hpp>
#include <sstream>

#include "support/program_said.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using testing::program_said;
using testing::ProgramSaid;

// The commands under "Next", each as the words that a shell would make of it.
std::vector<std::vector<std::string>> next_commands(const std::string& page) {
    std::vector<std::vector<std::string>> commands;
    std::istringstream lines(page.substr(page.find("\nNext\n")));
    for (std::string line; std::getline(lines, line);) {
        const std::size_t at = line.find("eaveshed ");
        if (at != std::string::npos) {
            std::istringstream words(line.substr(at));
            commands.emplace_back(std::istream_iterator<std::string>(words), std::istream_iterator<std::string>());
            commands.back().erase(commands.back().begin());
        }
    }
    return commands;
}

TEST(SummaryCommand, PrintsWhatScreenPrintedByteForByte) {
    const testing::TempFolder folder;
    const std::string project = std::string(EAVESHED_SOURCE_DIR) + "/testdata/demo/basin.toml";
    const std::string file = folder.file("demo.gpkg");
    const ProgramSaid screened = program_said({"screen", project, "-o", file, "--quiet"});
    EXPECT_EQ(screened.code, 0);
    EXPECT_THAT(screened.out, AllOf(HasSubstr("What the creek would feel"), HasSubstr("Whom to call first"),
                                    HasSubstr("What the answers rest on"), HasSubstr("eaveshed rank " + file)));
    const ProgramSaid again = program_said({"summary", file});
    EXPECT_EQ(again.code, 0);
    EXPECT_EQ(again.out, screened.out);
    const auto json = nlohmann::json::parse(program_said({"summary", file, "--json"}).out);
    EXPECT_EQ(json["parcels"].size(), 10U);
    EXPECT_EQ(json["parcels"][0]["rank"], 1);
    double felt = 0.0;
    for (const auto& part : json["headline"]["parts"]) {
        felt += part["felt_lps"].get<double>();
    }
    EXPECT_NEAR(felt, json["headline"]["all"]["felt_lps"].get<double>(), 1e-9);
    // Every candidate's offer enters some creek.
    std::uint64_t of_creeks = 0;
    for (const auto& creek : json["creeks"]) {
        of_creeks += creek["candidates"].get<std::uint64_t>();
    }
    std::uint64_t of_headline = 0;
    for (const auto& part : json["headline"]["parts"]) {
        const std::string name = part["part"];
        const bool asked = name == "creek" || name == "source_not_known" || name == "other_source";
        of_headline += asked ? part["number"].get<std::uint64_t>() : 0;
    }
    EXPECT_EQ(of_creeks, of_headline);
    EXPECT_THAT(screened.out, HasSubstr("\nby creek"));
    const auto next = next_commands(screened.out);
    EXPECT_GE(next.size(), 5U);
    for (std::vector<std::string> command : next) {
        std::ranges::replace(command, "PROJECT.toml", project);  // the result does not lie beside its inputs
        EXPECT_EQ(program_said(command).code, 0) << command.front();
    }
}

TEST(SummaryCommand, AFileOfAnotherProgramIsNamed) {
    const testing::TempFolder folder;
    const ProgramSaid no_database = program_said({"summary", folder.write("notes.gpkg", "not a database")});
    EXPECT_EQ(no_database.code, 2);
    EXPECT_THAT(no_database.errors, AllOf(HasSubstr("notes.gpkg"), HasSubstr("eaveshed screen")));
    const ProgramSaid absent = program_said({"summary", folder.file("absent.gpkg")});
    EXPECT_EQ(absent.code, 2);
    EXPECT_THAT(absent.errors, HasSubstr("absent.gpkg"));
    const ProgramSaid other =
        program_said({"summary", std::string(EAVESHED_SOURCE_DIR) + "/testdata/demo/buildings.gpkg"});
    EXPECT_EQ(other.code, 2);
    EXPECT_THAT(other.errors, AllOf(HasSubstr("buildings.gpkg"), HasSubstr("eaveshed screen")));
}

}  // namespace
}  // namespace eaveshed
