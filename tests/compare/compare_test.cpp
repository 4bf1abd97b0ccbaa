// What changed between two screenings of a small basin that are real runs, and why.
#include "eaveshed/compare/compare.hpp"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <chrono>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>

#include "eaveshed/record/output_rows.hpp"
#include "eaveshed/summary/page.hpp"
#include "eaveshed/words/text_lines.hpp"
#include "eaveshed/words/version.hpp"
#include "run/run_project.hpp"
#include "run/small_basin.hpp"
#include "support/edit_file.hpp"
#include "support/expect_error.hpp"
#include "support/output_file.hpp"

namespace eaveshed {
namespace {

using ::testing::AllOf;
using ::testing::ElementsAre;
using testing::expect_input_error;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;
using testing::OutputFile;
using testing::OutputRow;
using testing::TempFolder;
using ::testing::UnorderedElementsAre;
using Json = nlohmann::json;

std::string said_of(const std::string& before, const std::string& after, bool json = false, const std::string& csv = "",
                    bool overwrite = false) {
    std::ostringstream out;
    Findings findings;
    compare_screenings({before, after, {.csv = csv, .overwrite = overwrite}, json}, out, findings);
    return out.str();
}

Json told(const std::string& before, const std::string& after) {
    return Json::parse(said_of(before, after, true));
}

std::string summed(const std::string& file) {
    Findings findings;
    return page_of(file, true, findings);
}

std::vector<std::string> ids(const Json& rows) {
    std::vector<std::string> found;
    for (const Json& row : rows) {
        found.push_back(row["id"]);
    }
    return found;
}

const Json& row_of(const Json& rows, const std::string& id) {
    for (const Json& row : rows) {
        if (row["id"] == id) {
            return row;
        }
    }
    throw std::runtime_error("no row of " + id);
}

std::vector<std::string> names_of(const Json& list, const char* key = "name") {
    std::vector<std::string> names;
    for (const Json& entry : list) {
        names.push_back(entry[key]);
    }
    return names;
}

// The basin screened as it is, and once more with a change; inputs that do not change are not written again.
class TwoScreenings : public ::testing::Test {
protected:
    static void SetUpTestSuite() {
        s_folder = new TempFolder;
        screened(write_basin(*s_folder, {}), before());
        std::filesystem::copy_file(s_folder->file("buildings.gpkg"), s_folder->file("buildings.kept"));
    }
    static void TearDownTestSuite() { delete s_folder; }
    // The footprints as they were, to the byte.
    void TearDown() override {
        std::filesystem::copy_file(s_folder->file("buildings.kept"), s_folder->file("buildings.gpkg"),
                                   std::filesystem::copy_options::overwrite_existing);
    }

    static std::string before() { return s_folder->file("before.gpkg"); }
    static std::string after() { return s_folder->file("after.gpkg"); }
    // With other footprints, or only another project file.
    static std::string screen_again(const SmallBasin& basin, bool other_footprints = false) {
        if (other_footprints) {
            write_footprints(basin, s_folder->file("buildings.gpkg"));
            const auto now = std::filesystem::file_time_type::clock::now();
            std::filesystem::last_write_time(s_folder->file("buildings.gpkg"), now + std::chrono::seconds(5));
        }
        screened(s_folder->write("again.toml", project_text(basin)), after(), {.overwrite = true});
        return after();
    }
    static std::string with_settings(const std::string& settings) {
        SmallBasin basin;
        basin.settings = settings;
        return screen_again(basin);
    }
    static inline TempFolder* s_folder = nullptr;
};

// Ids of rows in which a column of the contract differs, found without the module.
std::set<std::string> differing_rows(const std::string& before, const std::string& after, const std::string& table,
                                     const std::string& id_column, const std::vector<Column>& columns) {
    const std::string sql = "SELECT * FROM " + table + " ORDER BY " + id_column;
    const auto a = OutputFile(before).rows(sql);
    const auto b = OutputFile(after).rows(sql);
    EXPECT_EQ(a.size(), b.size());
    std::set<std::string> differ;
    for (std::size_t i = 0; i < a.size() && i < b.size(); ++i) {
        EXPECT_EQ(testing::text(a[i], id_column), testing::text(b[i], id_column));
        for (const Column& column : columns) {
            const std::string name(column.field.name);
            const auto* const x = std::get_if<double>(&a[i].at(name));
            const auto* const y = std::get_if<double>(&b[i].at(name));
            const bool close = x != nullptr && y != nullptr && std::abs(*x - *y) <= 1e-9 * std::abs(*x);
            if (!close && a[i].at(name) != b[i].at(name)) {
                differ.insert(testing::text(a[i], id_column));
            }
        }
    }
    return differ;
}

TEST_F(TwoScreenings, AFileAndItselfDifferInNothing) {
    std::filesystem::copy_file(before(), after(), std::filesystem::copy_options::overwrite_existing);
    for (const std::string& other : {before(), after()}) {
        const Json json = told(before(), other);
        EXPECT_TRUE(json["causes"]["none"].get<bool>());
        EXPECT_THAT(json["parcels"], IsEmpty());
        EXPECT_THAT(json["roofs"], IsEmpty());
        EXPECT_EQ(json["row_counts"]["roofs"]["in_both"], 24);
        for (const Json& part : json["totals"]["parts"]) {
            EXPECT_EQ(part["change"]["number"], 0);
            EXPECT_EQ(part["change"]["forbearance_m3"], 0.0);
        }
        const std::string page = said_of(before(), other);
        EXPECT_THAT(page, AllOf(HasSubstr("Nothing changed"), HasSubstr("Nothing differs that the files tell of"),
                                HasSubstr("No parcel that both files have changed (12 compared)")));
        EXPECT_EQ(page.find("Both names are of the same file") != std::string::npos, other == before());
    }
}

TEST_F(TwoScreenings, ASettingIsTheCauseAndTheRowsAreThoseThatDiffer) {
    with_settings("[storage]\nreliability = 0.9\n");
    const Json json = told(before(), after());
    EXPECT_THAT(json["causes"]["settings"],
                ElementsAre(Json({{"name", "storage.reliability"}, {"before", "0.8"}, {"after", "0.9"}})));
    for (const char* const other : {"program", "inputs", "found_in_the_inputs", "measured_values"}) {
        EXPECT_THAT(json["causes"][other], IsEmpty()) << other;
    }
    const auto found = ids(json["roofs"]);
    EXPECT_EQ(std::set<std::string>(found.begin(), found.end()),
              differing_rows(before(), after(), "roofs", "roof_id", columns_of<RoofRow>()));
    const auto parcels = ids(json["parcels"]);
    EXPECT_EQ(std::set<std::string>(parcels.begin(), parcels.end()),
              differing_rows(before(), after(), "parcels", "parcel_id", columns_of<ParcelRow>()));
    ASSERT_FALSE(parcels.empty());
    // The dependable harvest is the first that the reliability changes; area and heights it cannot.
    for (const Json& row : json["roofs"]) {
        EXPECT_EQ(row["changed_first"], "harvest");
    }
    EXPECT_THAT(said_of(before(), after()),
                AllOf(HasSubstr("storage.reliability: 0.8 before, 0.9 after"),
                      HasSubstr("Nothing differs in: program, inputs, measured values, contacts.")));
}

TEST_F(TwoScreenings, RowsComeByTheSizeOfTheirChange) {
    with_settings("[storage]\nreliability = 0.9\n");
    double last = 1e9;
    const Json comparison = told(before(), after());
    for (const Json& row : comparison["parcels"]) {
        const auto asked = [&row](const char* side) {
            return row[side]["rank"].is_null() ? 0.0 : row[side]["added_forbearance_m3"].get<double>();
        };
        const double size = std::abs(asked("after") - asked("before"));
        EXPECT_LE(size, last);
        last = size;
    }
}

TEST_F(TwoScreenings, TotalsDifferAsTheSummariesOfTheFilesDo) {
    with_settings("[storage]\nreliability = 0.9\n");
    const Json json = told(before(), after());
    const Json a = Json::parse(summed(before()));
    const Json b = Json::parse(summed(after()));
    std::size_t seen = 0;
    for (const Json& part : json["totals"]["parts"]) {
        const auto of = [&part](const Json& summary) {
            for (const Json& one : summary["headline"]["parts"]) {
                if (one["part"] == part["part"]) {
                    return one;
                }
            }
            return summary["headline"][part["part"].get<std::string>()];
        };
        for (const char* const what : {"number", "forbearance_m3", "felt_m3", "felt_lps"}) {
            if (part["change"][what].is_null()) {  // what the creek feels of those whose source is not known
                EXPECT_THAT(part["part"].get<std::string>(), AllOf(HasSubstr("not_known"), Not(HasSubstr("all"))));
                continue;
            }
            EXPECT_NEAR(part["change"][what].get<double>(), of(b)[what].get<double>() - of(a)[what].get<double>(),
                        1e-9);
            ++seen;
        }
    }
    EXPECT_GT(seen, 40U);
    for (const auto& [status, count] : json["totals"]["roof_status"].items()) {
        EXPECT_EQ(count["before"], a["roof_counts"]["status"][status]);
        EXPECT_EQ(count["after"], b["roof_counts"]["status"][status]);
    }
    EXPECT_LT(json["totals"]["parts"][0]["change"]["forbearance_m3"].get<double>(), 0.0);  // more years, less water
}

TEST_F(TwoScreenings, TheOtherWayRoundEveryChangeIsItsOpposite) {
    SmallBasin basin;
    basin.roofs.erase(basin.roofs.begin() + 7);
    basin.settings = "[storage]\nreliability = 0.9\n";
    screen_again(basin, true);
    const Json there = told(before(), after());
    const Json back = told(after(), before());
    for (std::size_t i = 0; i < there["totals"]["parts"].size(); ++i) {
        const Json& one = there["totals"]["parts"][i]["change"];
        const Json& other = back["totals"]["parts"][i]["change"];
        for (const auto& [what, change] : one.items()) {
            EXPECT_EQ(change.is_null(), other[what].is_null());
            if (!change.is_null()) {
                EXPECT_EQ(change.get<double>(), -other[what].get<double>());
            }
        }
    }
    ASSERT_EQ(ids(there["parcels"]), ids(back["parcels"]));
    ASSERT_EQ(ids(there["roofs"]).size(), ids(back["roofs"]).size());
    for (const Json& row : there["roofs"]) {
        const Json& other = row_of(back["roofs"], row["id"]);
        EXPECT_EQ(row["before"], other["after"]);
        EXPECT_EQ(row["after"], other["before"]);
        EXPECT_EQ(row["changed_steps"], other["changed_steps"]);
        if (row["what"] == "only_before") {
            EXPECT_EQ(other["what"], "only_after");
        }
    }
    for (const Json& setting : there["causes"]["settings"]) {
        EXPECT_EQ(setting["before"], back["causes"]["settings"][0]["after"]);
    }
}

TEST_F(TwoScreenings, AMeasuredValueIsToldOfItsRoofAndItsParcelAlone) {
    s_folder->write("measured.csv", "roof_id,eave_height_m\nR05,2.1\n");
    with_settings("[overrides]\nsource = \"measured.csv\"\n");
    const Json json = told(before(), after());
    EXPECT_THAT(
        json["causes"]["measured_values"],
        ElementsAre(Json({{"of", "roof"}, {"id", "R05"}, {"before", nullptr}, {"after", "eave_height_m=2.1"}})));
    EXPECT_THAT(names_of(json["causes"]["inputs"], "setting"), ElementsAre("overrides.source"));
    EXPECT_EQ(json["causes"]["inputs"][0]["what"], "added");
    EXPECT_THAT(json["causes"]["settings"], IsEmpty());  // its file is told as an input
    ASSERT_THAT(ids(json["roofs"]), ElementsAre("R05"));
    EXPECT_TRUE(json["roofs"][0]["other_measured_values"].get<bool>());
    EXPECT_EQ(json["roofs"][0]["changed_first"], "elevation");
    for (const Json& row : json["parcels"]) {
        EXPECT_EQ(row["other_measured_values"].get<bool>(), row["id"] == "PR05") << row;
    }
    EXPECT_TRUE(row_of(json["parcels"], "PR05")["other_measured_values"].get<bool>());
    const std::string page = said_of(before(), after());
    EXPECT_THAT(page, AllOf(HasSubstr("roof R05: none before; eave_height_m=2.1 after"),
                            HasSubstr("its measured values; changed first: ")));
}

TEST_F(TwoScreenings, AParcelThatDeclinedLeavesTheRankingAndCountsWhole) {
    const std::string first = OutputFile(before()).text("SELECT parcel_id FROM parcels WHERE rank = 1");
    s_folder->write("calls.csv", "Parcel id,Status\n" + first + ",declined\n");
    with_settings("[contacts]\nsource = \"calls.csv\"\n");
    const Json json = told(before(), after());
    const Json& row = row_of(json["parcels"], first);
    EXPECT_EQ(row["changed_first"], "contact");
    EXPECT_EQ(row["before"]["rank"], 1);
    EXPECT_TRUE(row["after"]["rank"].is_null());
    EXPECT_EQ(json["parcels"][0]["id"], first);  // others only move up
    std::size_t moved = 0;
    for (const Json& other : json["parcels"]) {
        moved += other["changed_steps"] == Json::array({"ranking"}) ? 1U : 0U;
    }
    EXPECT_EQ(moved, json["parcels"].size() - 1);
    EXPECT_EQ(json["totals"]["contact_status"]["declined"]["change"], 1);
    EXPECT_THAT(json["roofs"], IsEmpty());
    EXPECT_EQ(json["ranking"].back()["parcel_id"], first);
    EXPECT_THAT(said_of(before(), after()),
                AllOf(HasSubstr("How far talks are changed at 1 parcel."), HasSubstr("not ranked after: declined"),
                      HasSubstr("talks: candidate before, declined after; changed first: contact; then"),
                      HasSubstr(fmt::format("contact 1, ranking {} (moved because others did).", moved)),
                      Not(HasSubstr("changed: ranking"))));
}

TEST_F(TwoScreenings, ARoofThatIsGoneIsOnlyInTheFileBefore) {
    SmallBasin basin;
    basin.roofs.erase(basin.roofs.begin() + 7);  // alone on its parcel
    screen_again(basin, true);
    const Json json = told(before(), after());
    const Json& roof = row_of(json["roofs"], "R07");
    EXPECT_EQ(roof["what"], "only_before");
    EXPECT_TRUE(roof["after"]["storage_m3"].is_null());
    EXPECT_TRUE(roof["changed_columns"].empty());
    EXPECT_EQ(json["row_counts"]["roofs"]["in_both"], 23);
    EXPECT_EQ(row_of(json["parcels"], "PR07")["changed_first"], "standing");  // ok before, no roofs after
    EXPECT_EQ(json["causes"]["inputs"][0]["setting"], "footprints.source");
    EXPECT_EQ(json["causes"]["inputs"][0]["what"], "content");
    EXPECT_EQ(json["totals"]["parcel_status"]["no_roofs"]["change"], 1);
    EXPECT_THAT(said_of(before(), after()), HasSubstr("1 roof only in the file before: R07."));
    EXPECT_THAT(said_of(after(), before()), HasSubstr("1 roof only in the file after: R07."));
}

TEST_F(TwoScreenings, ARoofNumberedAnewIsFoundByItsOutline) {
    SmallBasin basin;
    basin.roofs.at(5).id = "X5";  // on a parcel
    basin.roofs.at(8).id = "X8";  // on none, and its file wanders to another place in the list
    std::swap(basin.roofs.at(8), basin.roofs.at(20));
    screen_again(basin, true);
    const Json json = told(before(), after());
    EXPECT_EQ(json["row_counts"]["roofs"]["matched_by"]["outline"], 2);
    EXPECT_EQ(json["row_counts"]["roofs"]["matched_by"]["id"], 22);
    EXPECT_THAT(json["roofs"], IsEmpty());    // the same values under another name are no change
    EXPECT_THAT(json["parcels"], IsEmpty());  // nor is that name in the parcel's list of roofs
    EXPECT_THAT(said_of(before(), after()), HasSubstr("2 roofs under another identifier: 2 found by the same outline"));
}

TEST_F(TwoScreenings, ARoofDrawnAnewIsCarriedOverByOverlap) {
    SmallBasin basin;
    basin.roofs.at(5).id = "X5";
    basin.roofs.at(5).corner.x += 1.5;  // of 13 m
    basin.roofs.at(9).id = "X9";
    basin.roofs.at(9).corner.x += 50.0;  // another building
    screen_again(basin, true);
    const Json json = told(before(), after());
    EXPECT_EQ(json["row_counts"]["roofs"]["matched_by"]["carried"], 1);
    const Json& moved = row_of(json["roofs"], "X5");
    EXPECT_EQ(moved["id_before"], "R05");
    EXPECT_EQ(moved["matched_by"], "carried");
    EXPECT_EQ(row_of(json["roofs"], "X9")["what"], "only_after");
    EXPECT_EQ(row_of(json["roofs"], "R09")["what"], "only_before");
}

TEST_F(TwoScreenings, AnOutlineThatStandsTwiceSaysNothing) {
    SmallBasin basin;
    SmallRoof twin = basin.roofs.at(5);
    basin.roofs.at(5).id = "X5";
    twin.id = "Y5";
    basin.roofs.push_back(twin);
    screen_again(basin, true);
    const Json json = told(before(), after());
    EXPECT_EQ(row_of(json["roofs"], "R05")["what"], "only_before");
    EXPECT_EQ(row_of(json["roofs"], "X5")["what"], "only_after");
    EXPECT_EQ(row_of(json["roofs"], "Y5")["what"], "only_after");
}

TEST_F(TwoScreenings, AnOutlineThatStandsTwiceKeepsItsPlaceFromOthers) {
    SmallBasin basin;
    SmallRoof twin = basin.roofs.at(5);
    basin.roofs.at(5).id = "X5";
    twin.id = "Y5";
    SmallRoof inner = twin;  // the corner of the same house, another roof
    inner.id = "Z5";
    inner.width_m /= 3.0;
    basin.roofs.push_back(twin);
    basin.roofs.push_back(inner);
    screen_again(basin, true);
    const Json json = told(before(), after());
    EXPECT_EQ(json["row_counts"]["roofs"]["matched_by"]["carried"], 0);
    EXPECT_EQ(row_of(json["roofs"], "Z5")["what"], "only_after");
}

TEST_F(TwoScreenings, MeasuredValuesThatWentWithTheirRoofAreNoChange) {
    std::filesystem::copy_file(before(), s_folder->file("former.gpkg"));
    s_folder->write("measured.csv", "roof_id,eave_height_m\nR05,2.1\n");
    const std::string overrides = "[overrides]\nsource = \"measured.csv\"\nformer = \"former.gpkg\"\n";
    with_settings(overrides);
    std::filesystem::copy_file(after(), s_folder->file("measured.gpkg"));
    SmallBasin basin;
    basin.roofs.at(5).id = "X5";
    basin.settings = overrides;
    screen_again(basin, true);
    const Json json = told(s_folder->file("measured.gpkg"), after());
    EXPECT_EQ(json["row_counts"]["roofs"]["matched_by"]["outline"], 1);
    EXPECT_THAT(json["causes"]["measured_values"], IsEmpty());
    EXPECT_THAT(json["parcels"], IsEmpty());
}

TEST_F(TwoScreenings, RepeatedIdentifiersAreToldAndNotGuessed) {
    SmallBasin basin;
    basin.roofs.at(9).id = "R05";
    screen_again(basin, true);
    const Json json = told(before(), after());
    EXPECT_EQ(json["row_counts"]["roofs"]["repeated_ids"], 1);
    EXPECT_EQ(json["row_counts"]["roofs"]["rows_of_repeated_ids"], Json({{"before", 1}, {"after", 2}}));
    EXPECT_THAT(ids(json["roofs"]), Not(::testing::Contains("R05")));
    EXPECT_THAT(said_of(before(), after()), HasSubstr("One identifier stands of roofs more than once"));
    const Json itself = told(after(), after());
    EXPECT_THAT(itself["roofs"], IsEmpty());
    EXPECT_EQ(itself["row_counts"]["roofs"]["repeated_ids"], 1);
}

TEST_F(TwoScreenings, InAnotherReferenceSystemRoofsAreMatchedByIdentifierAlone) {
    SmallBasin basin;
    basin.footprints_crs = "EPSG:32611";
    basin.roofs.at(5).id = "X5";
    screen_again(basin, true);
    const Json json = told(before(), after());
    EXPECT_EQ(json["row_counts"]["roofs"]["matched_by"]["id"], 23);
    EXPECT_EQ(row_of(json["roofs"], "X5")["what"], "only_after");
    EXPECT_THAT(said_of(before(), after()), HasSubstr("matched by"));
    EXPECT_THAT(json["cautions"].dump(), HasSubstr("different coordinate reference systems"));
    EXPECT_THAT(names_of(json["causes"]["found_in_the_inputs"]),
                ::testing::IsSupersetOf({"crs.footprints", "crs.output"}));
}

TEST_F(TwoScreenings, FilesOfDifferentBasinsAreSaidToBeSo) {
    std::filesystem::copy_file(before(), after(), std::filesystem::copy_options::overwrite_existing);
    // Every other name, and every outline elsewhere: the same bytes at the other end of the list.
    testing::edit_file(after(), {"UPDATE parcels SET parcel_id = 'Q' || parcel_id",
                                 "UPDATE roofs SET roof_id = 'Q' || roof_id, geom = NULL"});
    const Json json = told(before(), after());
    EXPECT_EQ(json["row_counts"]["parcels"]["in_both"], 0);
    EXPECT_EQ(json["row_counts"]["roofs"]["what"]["only_before"], 24);
    EXPECT_THAT(json["cautions"].dump(), AllOf(HasSubstr("No parcel of one file is found in the other"),
                                               HasSubstr("No roof of one file is found in the other")));
}

TEST_F(TwoScreenings, AnEditedFileWithoutACauseIsSaidToBeSo) {
    std::filesystem::copy_file(before(), after(), std::filesystem::copy_options::overwrite_existing);
    testing::edit_file(after(), {"UPDATE roofs SET storage_m3 = 1 WHERE roof_id = 'R05'"});
    const std::string page = said_of(before(), after());
    EXPECT_THAT(page, AllOf(HasSubstr("Nothing differs that the files tell of"), HasSubstr("Yet rows changed")));
    EXPECT_THAT(ids(told(before(), after())["roofs"]), ElementsAre("R05"));
}

TEST_F(TwoScreenings, NumbersThatNoRunWritesDoNoHarm) {
    std::filesystem::copy_file(before(), after(), std::filesystem::copy_options::overwrite_existing);
    testing::edit_file(after(), {"UPDATE roofs SET forbearance_m3 = 9e999, storage_m3 = 'much' WHERE roof_id > 'R05'",
                                 "UPDATE parcels SET added_forbearance_m3 = -1.0, rank = 1.5, cost = x'00'"});
    EXPECT_EQ(told(before(), after())["roofs"].size(), 18U);
    EXPECT_THAT(told(after(), after())["roofs"], IsEmpty());
    EXPECT_THAT(said_of(before(), after()), HasSubstr("12 parcels changed"));
    testing::edit_file(after(), {"UPDATE parcels SET added_forbearance_m3 = -9e999"});
    testing::expect_input_error([&] { static_cast<void>(said_of(before(), after())); },
                                {"table parcels", "column added_forbearance_m3", "no finite number"});
}

TEST_F(TwoScreenings, AnInputThatOnlyHasAnotherNameIsToldAsSuch) {
    std::filesystem::copy_file(s_folder->file("dem.tif"), s_folder->file("ground.tif"));
    std::string text = project_text({});
    text.replace(text.find("dem.tif"), std::string("dem.tif").size(), "ground.tif");
    screened(s_folder->write("again.toml", text), after(), {.overwrite = true});
    const Json json = told(before(), after());
    ASSERT_EQ(json["causes"]["inputs"].size(), 1U);
    EXPECT_EQ(json["causes"]["inputs"][0]["what"], "renamed");
    EXPECT_EQ(json["causes"]["inputs"][0]["setting"], "terrain.elevation");
    EXPECT_THAT(json["causes"]["settings"], IsEmpty());
    EXPECT_THAT(json["roofs"], IsEmpty());
    EXPECT_THAT(said_of(before(), after()),
                HasSubstr("terrain.elevation \"ground.tif\": another path, the same content: \"dem.tif\" before"));
}

TEST_F(TwoScreenings, FingerprintsOfAnotherKindAreNotCalledAnotherContent) {
    std::filesystem::copy_file(before(), after(), std::filesystem::copy_options::overwrite_existing);
    testing::edit_file(
        after(), {"UPDATE run_record SET value = 'ab12' WHERE key LIKE 'input.%.sha256'"});  // as a strict run would
    const Json json = told(before(), after());
    ASSERT_GE(json["causes"]["inputs"].size(), 4U);
    for (const Json& input : json["causes"]["inputs"]) {
        EXPECT_EQ(input["what"], "content_or_strict");
    }
}

TEST_F(TwoScreenings, AnotherVersionOfTheProgramIsACause) {
    std::filesystem::copy_file(before(), after(), std::filesystem::copy_options::overwrite_existing);
    testing::edit_file(after(), {"UPDATE run_record SET value = '9.9.9' WHERE key = 'program.version'",
                                 "DELETE FROM run_record WHERE key = 'setting.storage.reserve_m3'"});
    EXPECT_THAT(
        said_of(before(), after()),
        AllOf(HasSubstr("program version: " + program_version() + " before, 9.9.9 after"),
              HasSubstr("by version 9.9.9"), HasSubstr("storage.reserve_m3: "), HasSubstr("before, not given after")));
}

TEST_F(TwoScreenings, RoundingOfAnotherLibraryIsNoChange) {
    std::filesystem::copy_file(before(), after(), std::filesystem::copy_options::overwrite_existing);
    testing::edit_file(after(), {"UPDATE roofs SET storage_m3 = storage_m3 * (1 + 1e-12)"});
    EXPECT_THAT(told(before(), after())["roofs"], IsEmpty());
}

TEST_F(TwoScreenings, WithoutParcelsTheRoofsTellTheChange) {
    SmallBasin basin;
    basin.parcels_crs.clear();
    const std::string single = s_folder->file("single.gpkg");
    screened(s_folder->write("single.toml", project_text(basin)), single);
    basin.settings = "[storage]\nreliability = 0.9\n";
    screen_again(basin);
    const std::string page = said_of(single, after());
    EXPECT_THAT(page, AllOf(HasSubstr("replaces"), HasSubstr("changed first: harvest"), Not(HasSubstr("ranking\n"))));
    EXPECT_THAT(said_of(before(), after()),
                AllOf(HasSubstr("The file after has no parcels"), HasSubstr("12 parcels only in the file before")));
}

TEST_F(TwoScreenings, WhatIsNotKnownIsNeverNought) {
    SmallBasin basin;
    std::string text = project_text(basin);
    text.erase(text.find("water_source"), std::string("water_source = \"source\"\n").size());
    screened(s_folder->write("again.toml", text), after(), {.overwrite = true});
    const std::string page = said_of(before(), after());
    EXPECT_THAT(page, HasSubstr("L/s before, not known after (change: not known)"));
    const Json json = told(before(), after());
    const Json& all = json["totals"]["parts"][10];
    EXPECT_EQ(all["part"], "all");
    EXPECT_TRUE(all["after"]["felt_lps"].is_null());
    EXPECT_TRUE(all["change"]["felt_lps"].is_null());
    EXPECT_GT(all["before"]["felt_lps"].get<double>(), 0.0);
}

TEST_F(TwoScreenings, UnitsAreThoseOfTheFileAfter) {
    with_settings("[output]\nunits = \"us\"\n");
    EXPECT_THAT(said_of(before(), after()),
                AllOf(HasSubstr("gal   a season"), HasSubstr("gpm"), Not(HasSubstr("L/s"))));
    EXPECT_THAT(said_of(after(), before()), AllOf(HasSubstr("m3   a season"), Not(HasSubstr("gpm"))));
    EXPECT_THAT(told(before(), after())["roofs"], IsEmpty());  // US twins repeat the columns
}

TEST_F(TwoScreenings, CreeksTellWhatWouldComeTogetherBeforeAndAfter) {
    EXPECT_THAT(said_of(before(), before()), Not(HasSubstr("Streams\n")));
    EXPECT_FALSE(told(before(), before()).contains("streams"));
    const auto with_streams = [](const std::string& name, const std::string& reaches, const std::string& gain) {
        std::filesystem::copy_file(before(), s_folder->file(name));
        testing::edit_file(
            s_folder->file(name),
            {"INSERT INTO reaches (reach_id, next_reach_id, creek, low_flow_lps) VALUES " + reaches,
             "UPDATE parcels SET flags = NULL, reach_id = 'q1', added_gain_lps = " + gain + " WHERE rank = 1"});
        return s_folder->file(name);
    };
    const std::string then = with_streams(
        "then.gpkg", "('q1', 'q2', 'Quill Creek', 2), ('q2', NULL, 'Quill Creek', 4), ('d', NULL, 'Dry', 1)", "0.1");
    const std::string now = with_streams(
        "now.gpkg", "('q1', 'q3', ' quill CREEK', 2), ('q3', NULL, 'Quill Creek', 4), ('n', NULL, NULL, NULL)", "0.3");
    const std::string said = said_of(then, now);
    EXPECT_THAT(said, ::testing::ContainsRegex("quill CREEK +0.100 +0.300 +[+]0.200 +2.5 % +7.5 %\n"));
    EXPECT_THAT(said, AllOf(HasSubstr("2 reaches in the file after alone: q3, n\n"),
                            HasSubstr("2 reaches in the file before alone: q2, d\n"), Not(HasSubstr("Dry"))));
    const Json streams = told(then, now)["streams"];
    ASSERT_EQ(streams["creeks"].size(), 3U);
    EXPECT_EQ(streams["creeks"][0]["before"]["end_reach_id"], "q2");
    EXPECT_NEAR(streams["creeks"][0]["change"]["end_gain_lps"].get<double>(), 0.2, 1e-12);
    EXPECT_NEAR(streams["creeks"][0]["change"]["low_flow_share"].get<double>(), 0.05, 1e-12);
    EXPECT_TRUE(streams["creeks"][1]["before"].is_null());
    EXPECT_EQ(streams["creeks"][1]["outlet_reach_id"], "n");
    EXPECT_TRUE(streams["creeks"][2]["after"].is_null());
    EXPECT_EQ(streams["creeks"][2]["creek"], "Dry");
    EXPECT_EQ(streams["reaches_new"]["number"], 2);
    EXPECT_EQ(streams["reaches_gone"]["first"], Json({"q2", "d"}));
    EXPECT_THAT(said_of(before(), now), ::testing::ContainsRegex("quill CREEK +- +0.300 +- +- +7.5 %\n"));
}

TEST_F(TwoScreenings, NoLineOfThePageIsWiderThanThePage) {
    with_settings("[storage]\nreliability = 0.9\n[output]\nunits = \"us\"\n[season]\nforbear_months = [7, 8, 9, 10]\n");
    std::istringstream lines(said_of(before(), after()));
    for (std::string line; std::getline(lines, line);) {
        EXPECT_LE(width_of(line), kPageColumns) << line;
        EXPECT_TRUE(line.empty() || line.back() != ' ') << line;
    }
}

}  // namespace
}  // namespace eaveshed
