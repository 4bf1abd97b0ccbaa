#include "eaveshed/explain/explain.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <set>
#include <sstream>

#include "eaveshed/words/text_lines.hpp"
#include "run/explain_words.hpp"
#include "run/run_project.hpp"
#include "run/small_basin.hpp"
#include "support/edit_file.hpp"
#include "support/expect_error.hpp"
#include "support/output_file.hpp"

namespace eaveshed {
namespace {

using ::testing::Contains;
using testing::edit_file;
using ::testing::ElementsAre;
using testing::expect_input_error;
using ::testing::HasSubstr;
using testing::OutputFile;
using testing::TempFolder;

struct Told {
    ExplainedRoof roof;
    std::string warnings;
};

Told told(const std::string& file, const std::string& id, const std::string& project = "") {
    Findings findings;
    Progress progress(ProgressStyle::none);
    Told found{explain({file, id, project}, findings, progress), {}};
    for (const Finding& finding : findings.list()) {
        found.warnings += finding.severity == Severity::warning ? to_text(finding.trouble) + '\n' : "";
    }
    return found;
}

std::vector<std::string> differing(const ExplainedRoof& roof) {
    std::vector<std::string> columns;
    for (const Difference& difference : roof.differences) {
        columns.push_back(difference.table + '.' + difference.column);
    }
    return columns;
}

// The basin of these tests: besides its roofs one that is too small, one twice, and no use of water outside the
// parcels.
SmallBasin basin_with_flaws() {
    SmallBasin basin;
    SmallRoof small = basin.roofs.front();
    small.id = "SMALL";
    small.corner = {kX0 + 700.0, kY0 + 60.0};
    small.width_m = 2.0;
    small.depth_m = 2.0;
    basin.roofs.push_back(small);
    SmallRoof twice = basin.roofs.at(4);
    twice.id = "TWICE";
    basin.roofs.push_back(twice);
    basin.settings = "[demand]\nhome_share = 0\ngarden_m2 = 0\n[siting]\nmax_fill_m = 40\nmax_slope_pct = 3\n";
    return basin;
}

class ExplainRun : public ::testing::Test {
protected:
    static void SetUpTestSuite() {
        s_folder = new TempFolder;
        s_project = new std::string(write_basin(*s_folder, basin_with_flaws()));
        screened(*s_project, s_folder->file("out.gpkg"));
    }
    static void TearDownTestSuite() {
        delete s_project;
        delete s_folder;
    }
    // The result, or a copy of it that may be changed, beside the inputs.
    static std::string out() { return s_folder->file("out.gpkg"); }
    static std::string edited(const std::vector<std::string>& statements) {
        const std::string copy = s_folder->file("edited.gpkg");
        std::filesystem::copy_file(out(), copy, std::filesystem::copy_options::overwrite_existing);
        edit_file(copy, statements);
        return copy;
    }
    static std::string id_where(const std::string& condition) {
        return OutputFile(out()).text("SELECT roof_id FROM roofs WHERE " + condition + " ORDER BY fid LIMIT 1");
    }

    static inline TempFolder* s_folder = nullptr;
    static inline std::string* s_project = nullptr;
};

std::vector<std::string> ids_of(const std::string& file) {
    std::vector<std::string> ids;
    for (const auto& row : OutputFile(file).rows("SELECT roof_id FROM roofs ORDER BY fid")) {
        ids.push_back(testing::text(row, "roof_id"));
    }
    return ids;
}

TEST_F(ExplainRun, AgreesWithEveryStoredRow) {
    std::set<std::string> outcomes;
    for (const std::string& id : ids_of(out())) {
        const Told found = told(out(), id);
        EXPECT_THAT(differing(found.roof), ElementsAre()) << id;
        EXPECT_EQ(found.warnings, "") << id;
        EXPECT_GE(found.roof.values_compared, 38U);
        const RoofRow& row = found.roof.explanation.result.roof;
        outcomes.insert(std::string(row.delivery ? to_text(*row.delivery) : to_text(row.status)));
        EXPECT_THAT(document_text(explanation_document(found.roof)),
                    HasSubstr("Every stored value agrees with the recomputation"));
    }
    for (const char* const outcome : {"too_small", "duplicate", "no_use", "no_pad", "pumped_feed"}) {
        EXPECT_THAT(outcomes, Contains(outcome));
    }
}

TEST_F(ExplainRun, TextFitsTheLine) {
    for (const std::string& id : ids_of(out())) {
        std::istringstream text(document_text(explanation_document(told(out(), id).roof)));
        for (std::string line; std::getline(text, line);) {
            EXPECT_LE(line.size(), kPageColumns) << id << ": " << line;
            EXPECT_FALSE(line.ends_with(' ')) << id << ": " << line;
        }
    }
}

// The same quantities, and no SI unit among them: but for what the file itself holds, which is compared.
TEST_F(ExplainRun, SpeaksInUsUnitsWhereTheyAreAskedFor) {
    for (const std::string& id : ids_of(out())) {
        const ExplainedRoof roof = told(out(), id).roof;
        const Document us = explanation_document(roof, OutputUnits::us);
        expect_same_quantities(explanation_document(roof), us);
        const std::string text = document_text(us);
        EXPECT_EQ(si_quantity_in(us), "") << id << '\n' << text;
        EXPECT_THAT(text, HasSubstr("Elevations are feet above"));
    }
}

// The key's end is its unit, and a section has each key once.
TEST_F(ExplainRun, KeysAreUniqueAndCarryTheirUnits) {
    const std::map<std::string, std::string> suffixes{{"m", "_m"},
                                                      {"m2", "_m2"},
                                                      {"m3", "_m3"},
                                                      {"mm", "_mm"},
                                                      {"kPa", "_kpa"},
                                                      {"L/s", "_lps"},
                                                      {"%", "_pct"},
                                                      {"kW.h", "_kwh"},
                                                      {"t", "_t"},
                                                      {"deg", "_deg"},
                                                      {"L", "litres_per_person_day"}};
    std::size_t facts = 0;
    for (const std::string& id : ids_of(out())) {
        std::set<std::string> sections;
        for (const DocumentSection& section : explanation_document(told(out(), id).roof).sections) {
            EXPECT_TRUE(sections.insert(section.key).second) << section.key;
            std::set<std::string> keys{"title", "words", "values", "from"};
            for (const DocumentPart& part : section.parts) {
                if (const auto* const table = std::get_if<FactTable>(&part)) {
                    EXPECT_TRUE(keys.insert(table->key).second) << section.key << ' ' << table->key;
                    for (const auto& row : table->rows) {
                        EXPECT_EQ(row.size(), table->columns.size()) << table->key;
                    }
                }
                const auto* const fact = std::get_if<Fact>(&part);
                if (fact == nullptr) {
                    continue;
                }
                ++facts;
                EXPECT_TRUE(keys.insert(fact->key).second) << section.key << ' ' << fact->key;
                if (!fact->unit.empty()) {
                    EXPECT_TRUE(fact->key.ends_with(suffixes.at(fact->unit))) << fact->key << ' ' << fact->unit;
                }
            }
        }
    }
    EXPECT_GT(facts, 500U);
}

TEST_F(ExplainRun, SaysWhyThereIsNothingToExplain) {
    const auto text_of = [](const std::string& id) {
        return document_text(explanation_document(told(out(), id).roof));
    };
    EXPECT_THAT(text_of("SMALL"), HasSubstr("too_small: plan area below min_area_m2"));
    EXPECT_THAT(text_of("TWICE"), HasSubstr("duplicate: exactly the same footprint"));
    EXPECT_THAT(text_of(id_where("delivery = 'no_use'")), HasSubstr("No storage replaces any summer take"));
    const std::string no_pad = id_where("delivery = 'no_pad'");
    const std::string reason =
        OutputFile(out()).text("SELECT no_pad_reason FROM roofs WHERE roof_id = '" + no_pad + "'");
    EXPECT_THAT(text_of(no_pad), HasSubstr("no place for it is found (no_pad_reason " + reason + ")"));
}

TEST_F(ExplainRun, FindsAStoredNumberThatWasChanged) {
    const std::string id = id_where("pad_elev_m IS NOT NULL");
    const std::string where = " WHERE roof_id = '" + id + "'";
    const auto found = [&](const std::string& statement) {
        return differing(told(edited({statement + where}), id).roof);
    };
    EXPECT_THAT(found("UPDATE roofs SET harvest_mean_m3 = harvest_mean_m3 * 1.0000001"),
                ElementsAre("roofs.harvest_mean_m3"));
    EXPECT_THAT(found("UPDATE roofs SET harvest_mean_m3 = harvest_mean_m3 * 1.0000000000001"), ElementsAre());
    EXPECT_THAT(found("UPDATE roofs SET flags = 'repaired'"), ElementsAre("roofs.flags"));
    EXPECT_THAT(found("UPDATE pads SET pressure_kpa = NULL"), ElementsAre("pads.pressure_kpa"));
    EXPECT_THAT(found("UPDATE use_points SET assumed = 1 - assumed"), ElementsAre("use_points.assumed"));
    EXPECT_THAT(found("DELETE FROM pads"), ElementsAre("pads.(row)"));
    EXPECT_THAT(found("DELETE FROM storage_curve"), Contains("storage_curve 1.(row)"));
    const Told told_of = told(edited({"UPDATE roofs SET usable_m3 = 1" + where}), id);
    EXPECT_THAT(to_text(trouble_of(told_of.roof)), HasSubstr("the row or the run record was edited"));
    EXPECT_THAT(document_text(explanation_document(told_of.roof)), HasSubstr("usable_m3"));
}

TEST_F(ExplainRun, TakesTheSettingsOfTheRunRecord) {
    const std::string id = id_where("pad_elev_m IS NOT NULL");
    const Told found =
        told(edited({"UPDATE run_record SET value = '0.9' WHERE key = 'setting.harvest.collection_efficiency'"}), id);
    EXPECT_EQ(found.roof.run.project.settings.harvest.collection_efficiency, 0.9);
    EXPECT_THAT(differing(found.roof), Contains("roofs.harvest_mean_m3"));
    expect_input_error(
        [&] { told(edited({"UPDATE run_record SET value = 'two' WHERE key = 'setting.siting.max_fill_m'"}), id); },
        {"run record", "siting.max_fill_m", "two"});
    expect_input_error(
        [&] { told(edited({"INSERT INTO run_record (key, value) VALUES ('setting.siting.magic', '1')"}), id); },
        {"siting.magic", "program.version"});
}

TEST_F(ExplainRun, TellsWhichInputsChanged) {
    const TempFolder folder;
    const std::string project = write_basin(folder, basin_with_flaws());
    screened(project, folder.file("out.gpkg"));
    SmallBasin other = basin_with_flaws();
    other.value_unit_m = 0.999;  // the same cells, all a little higher
    write_terrain(other, folder.file("dem.tif"));
    const std::string id = id_where("pad_elev_m IS NOT NULL");
    const Told found = told(folder.file("out.gpkg"), id);
    EXPECT_THAT(found.warnings, HasSubstr("terrain.elevation \"dem.tif\": found another content"));
    EXPECT_THAT(differing(found.roof), Contains("roofs.ground_elev_m"));
    EXPECT_THAT(to_text(trouble_of(found.roof)), HasSubstr("terrain.elevation \"dem.tif\""));
    EXPECT_THAT(document_text(explanation_document(found.roof)), HasSubstr("CHANGED"));
}

TEST_F(ExplainRun, TheDigestsOfAStrictScreeningAreKnownToo) {
    const TempFolder folder;
    SmallBasin basin;
    basin.parcels_crs.clear();  // roofs outside the parcels would be a warning, which stops a strict run
    basin.terrain_settings = "coarse_cell_m = 10\n";  // as would coarse cells
    basin.settings = "[check]\naccepted = [\"source_unknown\"]\n";
    screened(write_basin(folder, basin), folder.file("strict.gpkg"), {.strict = true});
    EXPECT_EQ(told(folder.file("strict.gpkg"), "R00").warnings, "");
}

TEST_F(ExplainRun, InputsElsewhereAreFoundByTheProjectFile) {
    const TempFolder elsewhere;
    const std::string copy = elsewhere.file("moved.gpkg");
    std::filesystem::copy_file(out(), copy);
    const std::string id = id_where("pad_elev_m IS NOT NULL");
    expect_input_error([&] { told(copy, id); }, {"moved.gpkg", "footprints.source", "dem.tif", "--project"});
    const Told found = told(copy, id, *s_project);
    EXPECT_THAT(differing(found.roof), ElementsAre());
    EXPECT_EQ(found.warnings, "");
    expect_input_error([&] { told(copy, id, elsewhere.file("none.toml")); }, {"none.toml", "no such file"});
}

TEST_F(ExplainRun, OtherSettingsOfTheProjectAreToldAndNotUsed) {
    SmallBasin basin = basin_with_flaws();
    basin.settings = "[demand]\nhome_share = 0\ngarden_m2 = 0\n[siting]\nmax_fill_m = 35\nmax_slope_pct = 3\n";
    const std::string project = s_folder->write("other.toml", project_text(basin));
    const Told found = told(out(), id_where("pad_elev_m IS NOT NULL"), project);
    EXPECT_THAT(found.warnings, HasSubstr("siting.max_fill_m"));
    EXPECT_THAT(differing(found.roof), ElementsAre());
}

TEST_F(ExplainRun, UnknownRoofsAreToldWithTheNearestIds) {
    expect_input_error([&] { told(out(), "R99"); }, {"no roof 'R99'", "did you mean", "'R09'"});
    expect_input_error([&] { told(out(), "Xyz12345"); }, {"no roof", "look the id up"});
    expect_input_error([&] { told(edited({"UPDATE roofs SET roof_id = 'R01' WHERE roof_id = 'R02'"}), "R01"); },
                       {"2 roofs with the id 'R01'", "footprints.id"});
    expect_input_error([&] { told(edited({"UPDATE roofs SET roof_id = 'NEW' WHERE roof_id = 'R02'"}), "NEW"); },
                       {"no roof 'NEW' among the footprints now"});
}

TEST_F(ExplainRun, FilesOfOthersAreRefused) {
    const auto refused = [&](const std::string& file, const std::vector<std::string>& parts) {
        expect_input_error([&] { told(file, "R01"); }, parts);
    };
    refused(s_folder->file("absent.gpkg"), {"absent.gpkg"});
    refused(*s_project, {"no GeoPackage"});
    refused(s_folder->file("buildings.gpkg"), {"run_record"});
    refused(edited({"PRAGMA application_id = 7"}), {"no GeoPackage"});
    refused(edited({"UPDATE run_record SET value = 'another' WHERE key = 'program.name'"}), {"another"});
    refused(edited({"DELETE FROM run_record"}), {"run record"});
    refused(edited({"DROP TABLE pads"}), {"pads"});
    refused(edited({"ALTER TABLE roofs RENAME TO hidden", "CREATE VIEW roofs AS SELECT * FROM hidden"}), {"roofs"});
    refused(edited({"ALTER TABLE roofs RENAME COLUMN roof_id TO name"}), {"roof_id"});
}

TEST_F(ExplainRun, AnotherVersionOfTheProgramIsTold) {
    const Told found = told(edited({"UPDATE run_record SET value = '0.0.1' WHERE key = 'program.version'"}), "SMALL");
    EXPECT_THAT(found.warnings, HasSubstr("version 0.0.1"));
}

// method.md 11: its table is what the demo basin gives.
TEST(ExplainDemo, TheMethodPagesHillsideIsTheDemosRoof) {
    const TempFolder folder;
    screened(demo_project(), folder.file("demo.gpkg"));
    const Document document = explanation_document(told(folder.file("demo.gpkg"), "B00311", demo_project()).roof);
    const std::string page = testing::bytes_of(std::string(EAVESHED_SOURCE_DIR) + "/docs/method.md");
    std::size_t numbers = 0;
    for (const DocumentSection& section : document.sections) {
        for (const DocumentPart& part : section.parts) {
            const auto* const fact = std::get_if<Fact>(&part);
            if ((section.key == "pad_fill" || section.key == "pad_feed") && fact != nullptr && fact->sign != ' ') {
                const std::string line = fmt::format("| {} {} | {} {} |", fact->sign, fact->label,
                                                     shown(fact->value, fact->decimals), fact->unit);
                EXPECT_NE(page.find(line), std::string::npos) << line;
                ++numbers;
            }
        }
    }
    EXPECT_EQ(numbers, 12U);
}

}  // namespace
}  // namespace eaveshed
