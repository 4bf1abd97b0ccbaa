#include "eaveshed/cli/program.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "eaveshed/cli/help_command.hpp"
#include "support/edit_file.hpp"
#include "support/program_said.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::MatchesRegex;
using ::testing::Not;
using ::testing::StartsWith;
using testing::TempFolder;
namespace fs = std::filesystem;
using testing::program_said;
using testing::ProgramSaid;

std::string demo() {
    return std::string(EAVESHED_SOURCE_DIR) + "/testdata/demo/basin.toml";
}

// Wrong words: exit code 2, nothing on standard output, the nearest known word named.
void expect_wrong(const std::vector<std::string>& words, const std::string& suggestion) {
    const ProgramSaid said = program_said(words);
    EXPECT_EQ(said.code, 2) << said.errors;
    EXPECT_THAT(said.out, IsEmpty());
    EXPECT_THAT(said.errors, StartsWith("error: "));
    EXPECT_THAT(said.errors, HasSubstr(suggestion));
}

TEST(Program, WrongWordsAreToldWithASuggestion) {
    expect_wrong({"scren", "basin.toml"}, "did you mean screen?");
    expect_wrong({"chek"}, "did you mean check?");
    expect_wrong({"screen", demo(), "--thread", "2"}, "did you mean --threads?");
    expect_wrong({"screen", demo(), "--overwrit"}, "did you mean --overwrite?");
    expect_wrong({"check", demo(), "--jsn"}, "did you mean --json?");
    expect_wrong({"help", "flag"}, "flags");
    expect_wrong({"xyzzyplugh"}, "--help");
}

TEST(Program, ValuesOutsideTheirRangeAreWrongWords) {
    expect_wrong({"screen", demo(), "--threads", "0"}, "threads");
    expect_wrong({"screen", demo(), "--threads", "many"}, "threads");
    expect_wrong({"screen", demo(), "--progress", "dots"}, "progress");
    expect_wrong({"screen"}, "project");
    expect_wrong({"screen", "--project", demo()}, "--part");
    expect_wrong({"screen", demo(), "--project", demo()}, "--part");
}

TEST(Program, WithoutWordsItShowsItsHelpOnStandardError) {
    const ProgramSaid said = program_said({});
    EXPECT_EQ(said.code, 2);
    EXPECT_THAT(said.out, IsEmpty());
    EXPECT_THAT(said.errors, HasSubstr("screen"));
}

TEST(Program, HelpIsAResult) {
    for (const auto& words :
         {std::vector<std::string>{"--help"}, {"-h"}, {"help"}, {"screen", "--help"}, {"check", "-h"}}) {
        const ProgramSaid said = program_said(words);
        EXPECT_EQ(said.code, 0);
        EXPECT_THAT(said.errors, IsEmpty());
        EXPECT_THAT(said.out, Not(IsEmpty()));
    }
    EXPECT_THAT(program_said({"--help"}).out, HasSubstr("eaveshed check basin.toml"));
    EXPECT_THAT(program_said({"screen", "--help"}).out, HasSubstr("--overwrite"));
}

TEST(Program, EveryHelpTopicHasAPage) {
    for (const std::string_view topic : help_topics()) {
        const ProgramSaid said = program_said({"help", std::string(topic)});
        EXPECT_EQ(said.code, 0) << topic;
        EXPECT_GT(said.out.size(), 100U) << topic;
    }
}

TEST(Program, VersionNamesProgramAndLibraries) {
    const ProgramSaid said = program_said({"--version"});
    EXPECT_EQ(said.code, 0);
    EXPECT_THAT(said.out, MatchesRegex("eaveshed [0-9]+\\.[0-9]+\\.[0-9]+ \\(.*gdal [0-9].*\\)\n"));
    const auto json = nlohmann::json::parse(program_said({"--version", "--json"}).out);
    EXPECT_EQ("eaveshed " + json.at("eaveshed").get<std::string>(), said.out.substr(0, said.out.find(" (")));
    EXPECT_TRUE(json.contains("gdal"));
    EXPECT_TRUE(json.contains("proj"));
}

TEST(Program, SettingsArePrinted) {
    EXPECT_THAT(program_said({"settings"}).out, HasSubstr("first_flush_mm"));
    EXPECT_THAT(program_said({"settings", "--markdown"}).out, HasSubstr("| `first_flush_mm`"));
}

TEST(Program, CheckOfTheDemoSaysWhatIsUnderstood) {
    const ProgramSaid said = program_said({"check", demo()});
    EXPECT_EQ(said.code, 0) << said.errors;
    EXPECT_THAT(said.out, HasSubstr("0 errors"));
    EXPECT_THAT(said.out, HasSubstr("layer buildings, EPSG:32627"));
    EXPECT_THAT(said.out, HasSubstr("23 complete tank years"));
}

TEST(Program, CheckAsJsonParses) {
    const ProgramSaid said = program_said({"check", demo(), "--json"});
    EXPECT_EQ(said.code, 0);
    const auto json = nlohmann::json::parse(said.out);
    EXPECT_TRUE(json.at("findings").is_array());
    EXPECT_GE(json.at("estimate").at("roofs").get<int>(), 330);
    const auto& footprints = json.at("understood").at(0);
    EXPECT_EQ(footprints.at("input"), "footprints");
    EXPECT_EQ(footprints.at("rows").at(1).at("eave_height"), "2.6");
    EXPECT_THAT(footprints.at("crs").get<std::string>(), HasSubstr("EPSG:32627"));
    EXPECT_EQ(footprints.at("extent").size(), 4U);
    EXPECT_TRUE(json.at("findings").at(0).at("code").is_null());
}

// Who owns what, and how to call them, is in the demo's parcels.
TEST(Program, CheckShowsRowsWithoutTheirOwners) {
    const ProgramSaid said = program_said({"check", demo()});
    EXPECT_THAT(said.out, HasSubstr("row: id 01W-0001, people 4"));
    EXPECT_THAT(said.out, ::testing::Not(HasSubstr("555-01")));
    EXPECT_THAT(said.out, ::testing::Not(HasSubstr("owner")));
}

TEST(Program, CheckTellsFaultsAsFindingsAndByItsExitCode) {
    const TempFolder folder;
    const std::string project = folder.write("basin.toml",
                                             "[footprints]\nsource = \"a.gpkg\"\n[terrain]\nelevation = "
                                             "\"b.tif\"\n[rain]\nsource = \"c.tif\"\n");
    const ProgramSaid said = program_said({"check", project, "--json"});
    EXPECT_EQ(said.code, 2);
    const auto json = nlohmann::json::parse(said.out);
    EXPECT_EQ(json.at("findings").size(), 3U);
    for (const auto& finding : json.at("findings")) {
        EXPECT_EQ(finding.at("severity"), "error");
        EXPECT_FALSE(finding.at("remedy").get<std::string>().empty());
    }
}

TEST(Program, AMissingOrBrokenProjectFileIsExitCodeTwo) {
    const TempFolder folder;
    for (const char* const command : {"check", "screen"}) {
        expect_wrong({command, folder.file("none.toml")}, "none.toml");
        expect_wrong({command, folder.write("broken.toml", "[footprints\n")}, "broken.toml");
    }
}

TEST(Program, ScreenWritesTheFileItsSummaryAndItsLog) {
    const TempFolder folder;
    const std::string output = folder.file("out.gpkg");
    const ProgramSaid said =
        program_said({"screen", demo(), "-o", output, "--threads", "2", "--quiet", "--log", folder.file("run.log")});
    EXPECT_EQ(said.code, 0) << said.errors;
    EXPECT_THAT(said.errors, IsEmpty());
    EXPECT_THAT(said.out, HasSubstr("Whom to call first"));
    EXPECT_THAT(said.out, HasSubstr(output));
    EXPECT_TRUE(fs::exists(output));
    std::ifstream log(folder.file("run.log"));
    std::size_t lines = 0;
    for (std::string line; std::getline(log, line); ++lines) {
        const auto json = nlohmann::json::parse(line);
        EXPECT_TRUE(json.contains("time") && json.contains("level") && json.contains("event")) << line;
    }
    EXPECT_GE(lines, 2U);

    const ProgramSaid again = program_said({"screen", demo(), "-o", output, "--quiet"});
    EXPECT_EQ(again.code, 2);
    EXPECT_THAT(again.errors, HasSubstr("--overwrite"));
}

TEST(Program, ExplainWantsAFileAndARoof) {
    expect_wrong({"explain"}, "file");
    expect_wrong({"explain", "out.gpkg"}, "roof");
    expect_wrong({"explain", "out.gpkg", "--rooof", "B1"}, "did you mean --roof?");
    expect_wrong({"explain", "out.gpkg", "--parcl", "P1"}, "did you mean --parcel?");
    expect_wrong({"explain", "out.gpkg", "--roof", "B1", "--parcel", "P1"}, "--parcel");
    expect_wrong({"explain", "none.gpkg", "--parcel", "P1"}, "none.gpkg");
    expect_wrong({"explain", "none.gpkg", "--roof", "B1"}, "none.gpkg");
    expect_wrong({"explain", demo(), "--roof", "B1"}, "no GeoPackage");
    EXPECT_THAT(program_said({"explain", "--help"}).out, HasSubstr("--project"));
    EXPECT_THAT(program_said({"help"}).out, HasSubstr("explain OUT.gpkg --roof ID"));
}

TEST(Program, ExplainPrintsTextAndJsonAndComparesTheRow) {
    const TempFolder folder;
    const std::string output = folder.file("out.gpkg");
    ASSERT_EQ(program_said({"screen", demo(), "-o", output, "--quiet"}).code, 0);
    const std::vector<std::string> words{"explain", output, "--roof", "B00311", "--project", demo(), "--progress=none"};
    const ProgramSaid said = program_said(words);
    EXPECT_EQ(said.code, 0) << said.errors;
    EXPECT_THAT(said.errors, IsEmpty());
    EXPECT_THAT(said.out, StartsWith("Roof B00311, parcel 01E-0186, Quillwater (invented)\n"));
    EXPECT_THAT(said.out, HasSubstr("Every stored value agrees with the recomputation"));

    std::vector<std::string> as_json = words;
    as_json.emplace_back("--json");
    const auto json = nlohmann::json::parse(program_said(as_json).out);
    EXPECT_EQ(json.at("differing_values"), 0);
    EXPECT_NEAR(json.at("pad_feed").at("values").at("pressure_kpa").get<double>(), 73.3, 0.05);
    EXPECT_EQ(json.at("candidates").at("cells_by_rule").size(), 11U);
    EXPECT_EQ(json.at("next_best").at("places").at(0).at("delivery"), "gravity");

    testing::edit_file(output, {"UPDATE roofs SET harvest_mean_m3 = 1 WHERE roof_id = 'B00311'"});
    const ProgramSaid changed = program_said(words);
    EXPECT_EQ(changed.code, 1);
    EXPECT_THAT(changed.out, HasSubstr("harvest_mean_m3"));  // the explanation is printed all the same
    EXPECT_THAT(changed.errors, HasSubstr("1 of the"));
}

TEST(Program, HelpOfACommandExplainsItAndRunsNothing) {
    const ProgramSaid said = program_said({"help", "screen"});
    EXPECT_EQ(said.code, 0);
    EXPECT_THAT(said.out, HasSubstr("--threads"));
    const TempFolder folder;
    const ProgramSaid two = program_said({"help", "screen", demo(), "-o", folder.file("out.gpkg")});
    EXPECT_EQ(two.code, 2);
    EXPECT_FALSE(fs::exists(folder.file("out.gpkg")));
    EXPECT_EQ(program_said({"check", demo(), "screen", demo(), "-o", folder.file("out.gpkg")}).code, 2);
    EXPECT_FALSE(fs::exists(folder.file("out.gpkg")));
}

TEST(Program, RankAndEnrolWriteListsAndNeverOverWhatTheyRead) {
    const TempFolder folder;
    const std::string output = folder.file("out.gpkg");
    ASSERT_EQ(program_said({"screen", demo(), "-o", output, "--progress=none"}).code, 0);
    const auto size = fs::file_size(output);
    const std::string csv = folder.file("calls.csv");
    const ProgramSaid ranked =
        program_said({"rank", output, "--project", demo(), "--draws", "0", "--top", "5", "--csv", csv});
    EXPECT_EQ(ranked.code, 0) << ranked.errors;
    EXPECT_THAT(ranked.out, HasSubstr("holds personal data"));
    EXPECT_TRUE(fs::exists(csv));
    const ProgramSaid again = program_said({"rank", output, "--project", demo(), "--draws", "0", "--csv", csv});
    EXPECT_EQ(again.code, 2);
    EXPECT_THAT(again.errors, HasSubstr("--overwrite"));
    EXPECT_EQ(program_said({"rank", output, "--project", demo(), "--draws", "0", "--csv", csv, "--overwrite"}).code, 0);
    std::istringstream lines(ranked.out);
    for (std::string line; std::getline(lines, line);) {
        if (line.find("Call list: ") != 0) {
            EXPECT_LE(line.size(), 100U) << line;
        }
    }
    const ProgramSaid enrolled =
        program_said({"enrol", output, "--project", demo(), "--budget", "100000", "--csv", folder.file("plan.csv")});
    EXPECT_EQ(enrolled.code, 0) << enrolled.errors;
    EXPECT_THAT(enrolled.out, HasSubstr("Proven: among the"));
    EXPECT_THAT(enrolled.out, HasSubstr("holds personal data"));
    EXPECT_TRUE(fs::exists(folder.file("plan.csv")));
    // Under its own name, and under another that looks like a list.
    const std::string alias = folder.file("alias.csv");
    fs::create_hard_link(output, alias);
    for (const std::string& list : {output, alias}) {
        EXPECT_EQ(program_said({"rank", output, "--project", demo(), "--draws", "0", "--csv", list}).code, 2);
        EXPECT_EQ(
            program_said({"enrol", output, "--project", demo(), "--budget", "1", "--csv", list, "--overwrite"}).code,
            2);
    }
    EXPECT_EQ(fs::file_size(output), size);
    EXPECT_EQ(program_said({"enrol", output}).code, 2);
    const ProgramSaid of_creek = program_said({"rank", output, "--draws", "0", "--creek", "quill water"});
    EXPECT_EQ(of_creek.code, 0) << of_creek.errors;
    EXPECT_THAT(of_creek.out, HasSubstr("to ask on Quill Water; "));
    const ProgramSaid no_reach = program_said({"enrol", output, "--target-lps", "0.1", "--reach", "nowhere"});
    EXPECT_EQ(no_reach.code, 2);
    EXPECT_THAT(no_reach.errors, HasSubstr("no reach \"nowhere\""));
    EXPECT_EQ(program_said({"enrol", output, "--target-lps", "0.1", "--for", "volume"}).code, 2);
    EXPECT_EQ(program_said({"enrol", output, "--budget", "1", "--sizes", "all"}).code, 2);
    // A list stays unless its being replaced is asked for.
    std::vector<std::string> plan_again{"enrol",    output,   "--project", demo(),
                                        "--budget", "100000", "--csv",     folder.file("plan.csv")};
    EXPECT_EQ(program_said(plan_again).code, 2);
    plan_again.emplace_back("--overwrite");
    EXPECT_EQ(program_said(plan_again).code, 0);
    // So does that of the reaches, which is none of the others.
    const std::string reaches = folder.file("reaches.csv");
    const std::vector<std::string> by_reach{"enrol", output, "--budget", "100000", "--reaches-csv", reaches};
    EXPECT_THAT(program_said(by_reach).out, HasSubstr("Gain by reach: " + reaches));
    EXPECT_TRUE(fs::exists(reaches));
    EXPECT_EQ(program_said(by_reach).code, 2);
    const std::string both = folder.file("both.csv");
    EXPECT_EQ(
        program_said({"enrol", output, "--project", demo(), "--budget", "1", "--csv", both, "--reaches-csv", both})
            .code,
        2);
    EXPECT_FALSE(fs::exists(both));
}

TEST(Program, AnErrorOfTheInputsIsToldOnce) {
    const TempFolder folder;
    const std::string project =
        folder.write("p.toml",
                     "[footprints]\nsource = \"none.gpkg\"\n[terrain]\nelevation = \"none.tif\"\n[rain]\nsource = "
                     "\"none.tif\"\nkind = \"daily\"\n");
    const ProgramSaid said = program_said({"screen", project, "-o", folder.file("out.gpkg")});
    EXPECT_EQ(said.code, 2);
    const auto first = said.errors.find("none.gpkg");
    ASSERT_NE(first, std::string::npos);
    EXPECT_EQ(said.errors.find("footprints.source", first + 1), std::string::npos) << said.errors;
}

TEST(Program, ALogThatCannotBeWrittenIsExitCodeTwo) {
    const TempFolder folder;
    expect_wrong({"screen", demo(), "-o", folder.file("out.gpkg"), "--log", folder.file("no/run.log")}, "--log");
    EXPECT_FALSE(fs::exists(folder.file("out.gpkg")));
}

}  // namespace
}  // namespace eaveshed
