// The list of every row that changed, and what is refused.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <map>
#include <nlohmann/json.hpp>
#include <sstream>

#include "eaveshed/compare/compare.hpp"
#include "run/run_project.hpp"
#include "run/small_basin.hpp"
#include "support/edit_file.hpp"
#include "support/expect_error.hpp"
#include "support/output_file.hpp"

namespace eaveshed {
namespace {

using testing::expect_input_error;
using ::testing::HasSubstr;
using ::testing::Not;
using testing::OutputFile;
using testing::TempFolder;
namespace fs = std::filesystem;

std::string page_with_list(const CompareRequest& request) {
    std::ostringstream out;
    Findings findings;
    compare_screenings(request, out, findings);
    return out.str();
}

// RFC 4180 read back: cells of each record.
std::vector<std::vector<std::string>> csv_records(const std::string& text) {
    std::vector<std::vector<std::string>> records(1, std::vector<std::string>(1));
    bool quoted = false;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        if (quoted) {
            if (c != '"') {
                records.back().back() += c;
            } else if (i + 1 < text.size() && text[i + 1] == '"') {
                records.back().back() += text[++i];
            } else {
                quoted = false;
            }
        } else if (c == '"') {
            quoted = true;
        } else if (c == ',') {
            records.back().emplace_back();
        } else if (c == '\n') {
            records.emplace_back(1);
        } else if (c != '\r') {
            records.back().back() += c;
        }
    }
    records.pop_back();
    return records;
}

using CsvRow = std::map<std::string, std::string>;

std::vector<CsvRow> csv_rows(const std::string& path) {
    const auto records = csv_records(testing::bytes_of(path));
    std::vector<CsvRow> rows;
    for (std::size_t i = 1; i < records.size(); ++i) {
        EXPECT_EQ(records[i].size(), records[0].size());
        CsvRow& row = rows.emplace_back();
        for (std::size_t j = 0; j < records[0].size() && j < records[i].size(); ++j) {
            row[records[0][j]] = records[i][j];
        }
    }
    return rows;
}

class ChangeListTest : public ::testing::Test {
protected:
    static void SetUpTestSuite() {
        s_folder = new TempFolder;
        const std::string project = write_basin(*s_folder, {});
        screened(project, before());
        SmallBasin basin;
        basin.settings =
            "[storage]\nreliability = 0.9\n[cost]\npad = 100\npipe_per_m = 5\npump = 500\ncurrency = \"EUR\"\n";
        screened(s_folder->write("again.toml", project_text(basin)), after());
    }
    static void TearDownTestSuite() { delete s_folder; }
    static std::string before() { return s_folder->file("before.gpkg"); }
    static std::string after() { return s_folder->file("after.gpkg"); }
    static std::string list() { return s_folder->file("changes.csv"); }
    static inline TempFolder* s_folder = nullptr;
};

TEST_F(ChangeListTest, HoldsEveryRowThatChangedWithValuesOfBothFiles) {
    const std::string page = page_with_list({before(), after(), {.csv = list()}});
    EXPECT_THAT(page, HasSubstr("Every row that changed: " + list()));
    const auto rows = csv_rows(list());
    std::ostringstream json_text;
    Findings findings;
    compare_screenings({before(), after(), {}, true}, json_text, findings);
    const auto json = nlohmann::json::parse(json_text.str());
    ASSERT_EQ(rows.size(), json["parcels"].size() + json["roofs"].size());
    const OutputFile a(before());
    const OutputFile b(after());
    std::size_t changed = 0;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const CsvRow& row = rows[i];
        const bool parcel = i < json["parcels"].size();
        EXPECT_EQ(row.at("Table"), parcel ? "parcels" : "roofs");
        const std::string from = parcel ? " FROM parcels WHERE parcel_id = '" : " FROM roofs WHERE roof_id = '";
        const auto value = [&](const OutputFile& file, const std::string& column) {
            return file.text("SELECT " + column + from + row.at("Id") + "'");
        };
        for (const auto& [title, column] :
             {std::pair{"Storage", "storage_m3"}, std::pair{"Forbearance volume", "forbearance_m3"}}) {
            const std::string then = row.at(std::string(title) + " before, m3");
            const std::string now = row.at(std::string(title) + " after, m3");
            ASSERT_EQ(then.empty(), value(a, column).empty());
            ASSERT_EQ(now.empty(), value(b, column).empty());
            if (!then.empty() && !now.empty()) {
                EXPECT_NEAR(std::stod(then), std::stod(value(a, column)), 1e-9);
                EXPECT_NEAR(std::stod(now), std::stod(value(b, column)), 1e-9);
                EXPECT_NEAR(std::stod(row.at(std::string(title) + " change, m3")), std::stod(now) - std::stod(then),
                            1e-9);
                ++changed;
            }
        }
        EXPECT_EQ(row.at("Delivery before"), value(a, "delivery"));
        EXPECT_EQ(row.at("Delivery after"), value(b, "delivery"));
        EXPECT_FALSE(row.at("Changed columns").empty());
    }
    EXPECT_GT(changed, 20U);
    fs::remove(list());
}

TEST_F(ChangeListTest, IsInUsUnitsWhereTheFileAfterIs) {
    const std::string us = s_folder->file("us.gpkg");
    SmallBasin basin;
    basin.settings = "[storage]\nreliability = 0.9\n[output]\nunits = \"us\"\n";
    screened(s_folder->write("us.toml", project_text(basin)), us);
    page_with_list({before(), us, {.csv = list()}});
    const auto rows = csv_rows(list());
    ASSERT_FALSE(rows.empty());
    constexpr double kGallon = 0.003785411784;  // 231 in3, NIST Handbook 44, appendix C
    for (const CsvRow& row : rows) {
        const std::string stored =
            OutputFile(us).text("SELECT storage_m3 FROM " + row.at("Table") + " WHERE " +
                                (row.at("Table") == "roofs" ? "roof_id" : "parcel_id") + " = '" + row.at("Id") + "'");
        ASSERT_EQ(stored.empty(), row.at("Storage after, gal").empty());
        if (!stored.empty()) {
            EXPECT_NEAR(std::stod(row.at("Storage after, gal")) * kGallon, std::stod(stored), 1e-6);
        }
    }
    fs::remove(list());
}

TEST_F(ChangeListTest, AListThatExistsIsKeptUnlessItIsToBeOverwritten) {
    s_folder->write("changes.csv", "an evening's work");
    expect_input_error([&] { page_with_list({before(), after(), {.csv = list()}}); }, {"changes.csv", "--overwrite"});
    EXPECT_EQ(testing::bytes_of(list()), "an evening's work");
    page_with_list({before(), after(), {.csv = list(), .overwrite = true}});
    EXPECT_THAT(testing::bytes_of(list()), HasSubstr("Changed first"));
    fs::remove(list());
}

TEST_F(ChangeListTest, NeitherFileNorAnInputIsWrittenOver) {
    const std::string link = s_folder->file("link.csv");
    fs::create_symlink(before(), link);
    const auto size = fs::file_size(before());
    expect_input_error([&] { page_with_list({before(), after(), {.csv = link, .overwrite = true}}); }, {"link.csv"});
    expect_input_error([&] { page_with_list({before(), after(), {.csv = before(), .overwrite = true}}); }, {".csv"});
    EXPECT_EQ(fs::file_size(before()), size);
    s_folder->write("measured.csv", "roof_id,eave_height_m\nR05,2.1\n");
    SmallBasin basin;
    basin.settings = "[overrides]\nsource = \"measured.csv\"\n";
    const std::string measured = s_folder->file("measured.gpkg");
    screened(s_folder->write("measured.toml", project_text(basin)), measured);
    for (const auto& [a, b] : {std::pair{before(), measured}, std::pair{measured, before()}}) {
        expect_input_error(
            [&, &from = a, &to = b] {
                page_with_list({from, to, {.csv = s_folder->file("measured.csv"), .overwrite = true}});
            },
            {"measured.csv"});
    }
    EXPECT_THAT(testing::bytes_of(s_folder->file("measured.csv")), HasSubstr("R05,2.1"));
}

TEST_F(ChangeListTest, NoTextOfItIsAFormula) {
    const std::string hostile = s_folder->file("hostile.gpkg");
    fs::copy_file(after(), hostile, fs::copy_options::overwrite_existing);
    testing::edit_file(hostile,
                       {"UPDATE roofs SET roof_id = '=cmd|x' WHERE roof_id = 'R05'",
                        "UPDATE parcels SET parcel_id = '@SUM(A1)', delivery = '+1+1' WHERE parcel_id = 'PR05'"});
    const std::string page = page_with_list({before(), hostile, {.csv = list()}});
    EXPECT_THAT(page, HasSubstr("@SUM(A1)"));
    bool roof = false;
    for (const auto& record : csv_records(testing::bytes_of(list()))) {
        for (const std::string& cell : record) {
            const bool number = cell.find_first_not_of("-0123456789.e") == std::string::npos;
            EXPECT_TRUE(cell.empty() || number || std::string("=+-@\t\r").find(cell[0]) == std::string::npos) << cell;
            roof = roof || cell == "'=cmd|x";
        }
    }
    EXPECT_TRUE(roof);
    fs::remove(list());
}

TEST_F(ChangeListTest, PersonalDataIsInNothingThatIsTold) {
    const TempFolder folder;
    SmallBasin basin;
    basin.settings = "carry = [\"owner\"]\n";  // still under [parcels]
    const std::string project = write_basin(folder, basin);
    testing::edit_file(folder.file("parcels.gpkg"), {"ALTER TABLE parcels ADD COLUMN owner TEXT",
                                                     "UPDATE parcels SET owner = 'Zebedee Quux ' || apn"});
    screened(project, folder.file("a.gpkg"));
    basin.settings += "[storage]\nreliability = 0.9\n";
    folder.write("basin.toml", project_text(basin));
    folder.write("measured.csv", "parcel_id,season_use_m3,measured_by,notes\nPR05,33,Zebedee,Zebedee says\n");
    basin.settings += "[overrides]\nsource = \"measured.csv\"\n";
    screened(folder.write("b.toml", project_text(basin)), folder.file("b.gpkg"));
    const std::string csv = folder.file("c.csv");
    std::ostringstream json;
    Findings findings;
    compare_screenings({folder.file("a.gpkg"), folder.file("b.gpkg"), {}, true}, json, findings);
    const std::string page = page_with_list({folder.file("a.gpkg"), folder.file("b.gpkg"), {.csv = csv}});
    for (const std::string& text : {page, json.str(), testing::bytes_of(csv)}) {
        EXPECT_THAT(text, HasSubstr("PR05"));
        EXPECT_THAT(text, Not(HasSubstr("Zebedee")));
    }
}

TEST_F(ChangeListTest, CostsOfTwoCurrenciesAreNotSubtracted) {
    const std::string other = s_folder->file("other.gpkg");
    fs::copy_file(after(), other, fs::copy_options::overwrite_existing);
    testing::edit_file(other, {
                                  "UPDATE run_record SET value = 'NZD' WHERE key = 'setting.cost.currency'",
                                  "UPDATE parcels SET cost = 700",
                              });
    const std::string page = page_with_list({after(), other, {.csv = list()}});
    EXPECT_THAT(page, HasSubstr("Costs are in EUR before and in NZD after"));
    for (const CsvRow& row : csv_rows(list())) {
        EXPECT_EQ(row.at("Cost change"), "");
        EXPECT_EQ(row.at("Cost after"), "700");
    }
    fs::remove(list());
}

TEST_F(ChangeListTest, AFileThatNoScreeningOfThisVersionWroteIsAnError) {
    const auto compared_with = [&](const std::string& other) { page_with_list({before(), other, {}}); };
    expect_input_error([&] { compared_with(s_folder->file("absent.gpkg")); }, {"absent.gpkg"});
    expect_input_error([&] { compared_with(s_folder->write("notes.gpkg", "no database")); }, {"notes.gpkg"});
    expect_input_error([&] { compared_with(s_folder->file("parcels.gpkg")); }, {"parcels.gpkg", "eaveshed screen"});
    const std::string old = s_folder->file("old.gpkg");
    fs::copy_file(after(), old, fs::copy_options::overwrite_existing);
    testing::edit_file(old, {"ALTER TABLE parcels DROP COLUMN added_gain_lps"});
    expect_input_error([&] { compared_with(old); }, {"old.gpkg", "added_gain_lps", "screen the basin again"});
    expect_input_error([&] { page_with_list({old, before(), {}}); }, {"old.gpkg", "added_gain_lps"});
    testing::edit_file(old, {"DELETE FROM run_record WHERE key LIKE 'headline.%'"});
    expect_input_error([&] { compared_with(old); }, {"old.gpkg", "headline"});
}

TEST_F(ChangeListTest, AColumnThatOnlyOneFileHasIsToldAndLeftOut) {
    const std::string old = s_folder->file("old.gpkg");
    fs::copy_file(after(), old, fs::copy_options::overwrite_existing);
    testing::edit_file(old, {"ALTER TABLE roofs DROP COLUMN fill_rain_mm"});
    EXPECT_THAT(page_with_list({old, after(), {}}),
                HasSubstr("Columns of roofs that only one of the files has are not compared: fill_rain_mm."));
}

TEST_F(ChangeListTest, NothingHalfWrittenStandsUnderTheNameOfAListThatFails) {
    const std::string broken = s_folder->file("broken.gpkg");
    fs::copy_file(after(), broken, fs::copy_options::overwrite_existing);
    testing::edit_file(broken, {"ALTER TABLE parcels DROP COLUMN cost"});
    EXPECT_ANY_THROW(page_with_list({before(), broken, {.csv = list()}}));
    EXPECT_FALSE(fs::exists(list()));
}

}  // namespace
}  // namespace eaveshed
