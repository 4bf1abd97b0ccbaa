// A report of the demo basin: what its pages say, what they never hold, and what is refused.
#include "eaveshed/report/report.hpp"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <regex>

#include "eaveshed/report/basin_charts.hpp"
#include "eaveshed/report/basin_map.hpp"
#include "eaveshed/report/basin_page.hpp"
#include "eaveshed/summary/statements.hpp"
#include "run/run_project.hpp"
#include "support/edit_file.hpp"
#include "support/expect_error.hpp"
#include "support/output_file.hpp"

namespace eaveshed {
namespace {

namespace fs = std::filesystem;
using ::testing::AllOf;
using testing::expect_input_error;
using ::testing::HasSubstr;
using testing::OutputFile;
using testing::TempFolder;

std::string bytes_of(const fs::path& file) {
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

// Without printing the whole page where it fails.
void holds(const std::string& html, const std::vector<std::string>& parts) {
    for (const std::string& part : parts) {
        EXPECT_NE(html.find(part), std::string::npos) << part;
    }
}
void lacks(const std::string& html, const std::vector<std::string>& parts) {
    for (const std::string& part : parts) {
        EXPECT_EQ(html.find(part), std::string::npos) << part;
    }
}

class ReportOfTheDemo : public ::testing::Test {
protected:
    static void SetUpTestSuite() {
        s_folder = new TempFolder;
        screened(demo_project(), s_folder->file("demo.gpkg"));
    }
    static void TearDownTestSuite() { delete s_folder; }
    // A copy to be changed.
    [[nodiscard]] std::string copy() const {
        fs::copy_file(s_folder->file("demo.gpkg"), m_folder.file("copy.gpkg"));
        return m_folder.file("copy.gpkg");
    }
    [[nodiscard]] ReportRequest request() const {
        return {.file = s_folder->file("demo.gpkg"), .folder = m_folder.file("report"), .project = demo_project()};
    }
    std::string page_of(const ReportRequest& asked) {
        const ReportDone done = write_report(asked, m_findings);
        EXPECT_EQ(done.files.size(), 1U);
        return bytes_of(done.files.at(0));
    }
    // Of a finished file, as the page has them.
    static SummaryFacts facts_of(const std::string& file) {
        Findings findings;
        const ResultReader result(file, findings);
        return read_summary(result, file);
    }
    static inline TempFolder* s_folder = nullptr;
    TempFolder m_folder;
    Findings m_findings;
};

TEST_F(ReportOfTheDemo, SaysWhatTheSummarySays) {
    const std::string html = page_of(request());
    const SummaryFacts facts = facts_of(request().file);
    holds(html, {felt_sentence(facts), volumes_sentence(facts), delivery_sentence(facts), remainder_sentence(facts),
                 roofs_sentence(facts), weights_text(facts)});
    for (const HeadlineLine& line : headline_lines(facts)) {
        holds(html, {">" + line.name + "</th><td class=\"n\">" + line.number + "</td><td class=\"n\">" + line.replaced +
                     "</td><td class=\"n\">" + line.felt + "</td><td class=\"n\">" + line.flow + "</td>"});
    }
    for (const BasisLine& line : basis_lines(facts)) {
        holds(html, {">" + std::string(line.what) + "</th><td class=\"n\">" + line.roofs + "</td>"});
    }
    const auto ranked = OutputFile(request().file).rows("SELECT parcel_id FROM parcels WHERE rank IS NOT NULL");
    EXPECT_EQ(ranked.size(), 158U);
    for (const auto& row : ranked) {
        holds(html, {">" + testing::text(row, "parcel_id") + "</a></th>"});
    }
}

TEST_F(ReportOfTheDemo, IsOneFileThatAsksForNothing) {
    const std::string html = page_of(request());
    const std::regex address("https?:[^\"' ]*");
    for (auto found = std::sregex_iterator(html.begin(), html.end(), address); found != std::sregex_iterator();
         ++found) {
        EXPECT_EQ(found->str(), "http://www.w3.org/2000/svg");
    }
    const std::regex outside(R"((src|href)="([^#d][^"]*|d[^a][^"]*)\")");
    EXPECT_FALSE(std::regex_search(html, outside));
    holds(html, {"Content-Security-Policy", "data:image/png;base64,", "<html lang"});
    lacks(html, {"/home/", m_folder.path().string(), s_folder->path().string(), EAVESHED_SOURCE_DIR});
    EXPECT_EQ(std::distance(fs::directory_iterator(m_folder.file("report")), {}), 1);
}

TEST_F(ReportOfTheDemo, HeadingsAreInOrderAndDrawingsHaveNames) {
    const std::string html = page_of(request());
    const std::regex heading("<h([1-6])");
    int last = 0;
    int first_level = 0;
    for (auto found = std::sregex_iterator(html.begin(), html.end(), heading); found != std::sregex_iterator();
         ++found) {
        const int level = std::stoi((*found)[1]);
        EXPECT_LE(level, last + 1);
        first_level += level == 1 ? 1 : 0;
        last = level;
    }
    EXPECT_EQ(first_level, 1);
    const std::regex drawing("<svg [^>]*>\n<title id=\"[a-z-]+\">[^<]+</title>\n<desc id=\"[a-z-]+\">[^<]+</desc>");
    const auto begin = std::sregex_iterator(html.begin(), html.end(), drawing);
    const std::regex any("<svg ");
    EXPECT_EQ(std::distance(begin, {}), std::distance(std::sregex_iterator(html.begin(), html.end(), any), {}));
    EXPECT_GE(std::distance(begin, {}), 7);
}

TEST_F(ReportOfTheDemo, HoldsNoPersonalData) {
    const std::string html = page_of(request());
    const auto owners = OutputFile(std::string(EAVESHED_SOURCE_DIR) + "/testdata/demo/parcels.gpkg")
                            .rows("SELECT owner, phone FROM parcels WHERE owner IS NOT NULL");
    ASSERT_GT(owners.size(), 100U);
    for (const auto& row : owners) {
        lacks(html, {testing::text(row, "owner"), testing::text(row, "phone")});
    }
}

TEST_F(ReportOfTheDemo, HostileNamesStayText) {
    const std::string first = R"(<script>alert(1)</script>)";
    const std::string second = R"("><img src=x onerror=alert(2)>'{{TITLE}})";
    std::vector<std::string> statements;
    for (const auto& [rank, name] : {std::pair{1, first}, std::pair{2, second}}) {
        std::string quoted;
        for (const char letter : name) {
            quoted += letter == '\'' ? "''" : std::string(1, letter);
        }
        const std::string old = "(SELECT parcel_id FROM parcels WHERE rank = " + std::to_string(rank) + ")";
        for (const char* table : {"pads", "parcel_options", "parcels"}) {
            statements.push_back("UPDATE " + std::string(table) + " SET parcel_id = '" + quoted +
                                 "' WHERE parcel_id = " + old);
        }
        statements.push_back("UPDATE parcels SET water_source = '" + quoted + "', ask_first = '" + quoted +
                             "' WHERE rank = " + std::to_string(rank + 2));
    }
    statements.push_back(
        "UPDATE run_record SET value = '</title><script>alert(3)</script>' WHERE key = 'setting.basin.name'");
    ReportRequest asked = request();
    asked.file = copy();
    testing::edit_file(asked.file, statements);
    const std::string html = page_of(asked);
    holds(html, {"&lt;script&gt;alert(1)&lt;/script&gt;", "onerror=alert(2)&gt;", "&lt;script&gt;alert(3)"});
    lacks(html, {"<img", "<script>alert"});
    EXPECT_EQ(html.find("<script"), html.rfind("<script"));
}

TEST_F(ReportOfTheDemo, SpeaksUsUnitsWhereTheFileDoes) {
    ReportRequest asked = request();
    asked.file = copy();
    testing::edit_file(asked.file, {"UPDATE run_record SET value = 'us' WHERE key = 'setting.output.units'"});
    const std::string html = page_of(asked);
    holds(html, {felt_sentence(facts_of(asked.file)), "gal", ">1000 ft<", "creek gains, gpm"});
    lacks(html, {" m3<"});
}

TEST_F(ReportOfTheDemo, WithoutItsInputsTheMapSaysWhatItLacks) {
    ReportRequest asked = request();
    asked.project.clear();  // looked for beside the file, where nothing is
    const std::string html = page_of(asked);
    holds(html, {"without the lie of the land"});
    lacks(html, {"data:image/png", s_folder->path().string()});
    EXPECT_EQ(m_findings.count(Severity::warning), 1U);
    // The parcels and streams are drawn all the same.
    holds(html, {"id=\"rank-1\""});
}

// Elevations that are there have been read before: what is in the way of reading them now may be gone in a minute, and
// a page without the lie of the land would stay.
TEST_F(ReportOfTheDemo, ElevationsThatAreThereAndCannotBeReadEndIt) {
    ReportRequest asked = request();
    asked.project = m_folder.path().string();
    m_folder.write("dem.tif", "no raster");
    expect_input_error([&] { static_cast<void>(write_report(asked, m_findings)); },
                       {"terrain.elevation", "dem.tif", "a format that nothing recognises"});
    EXPECT_FALSE(fs::exists(asked.folder));
}

TEST_F(ReportOfTheDemo, TheListLeadsToTheMap) {
    const std::string html = page_of(request());
    const std::regex link("href=\"#(rank-[0-9]+)\"");
    std::size_t links = 0;
    for (auto found = std::sregex_iterator(html.begin(), html.end(), link); found != std::sregex_iterator(); ++found) {
        holds(html, {"id=\"" + (*found)[1].str() + "\""});
        ++links;
    }
    EXPECT_EQ(links, 158U);
}

TEST_F(ReportOfTheDemo, ForAllNothingOfOneParcelIsTold) {
    ReportRequest asked = request();
    asked.open_to_all = true;
    const std::string html = page_of(asked);
    for (const char* sql :
         {"SELECT DISTINCT parcel_id AS id FROM parcels", "SELECT DISTINCT roof_id AS id FROM roofs"}) {
        for (const auto& row : OutputFile(asked.file).rows(sql)) {
            lacks(html, {testing::text(row, "id")});
        }
    }
    holds(html, {"Content-Security-Policy"});
    lacks(html, {".gpkg", "rank-", "class=\"ranked\" ", m_folder.path().string()});
    // Each row of the table counts five at least, and they add up to the whole.
    const std::regex number("</th><td class=\"n\">([0-9]*)</td><td class=\"n\">([0-9]+)</td>");
    std::vector<int> numbers;
    std::vector<int> volumes;
    for (auto found = std::sregex_iterator(html.begin(), html.end(), number); found != std::sregex_iterator();
         ++found) {
        numbers.push_back(std::stoi("0" + (*found)[1].str()));
        volumes.push_back(std::stoi((*found)[2]));
    }
    ASSERT_GE(numbers.size(), 4U);
    EXPECT_EQ(std::accumulate(numbers.begin(), numbers.end() - 1, 0), numbers.back());
    EXPECT_NEAR(std::accumulate(volumes.begin(), volumes.end() - 1, 0), volumes.back(), 5);
    EXPECT_GE(*std::ranges::min_element(numbers), 5);
    // And so does each square of the map.
    const std::regex square("text-anchor=\"middle\" paint-order=\"stroke\"[^>]*>([0-9]+)</text>");
    std::size_t squares = 0;
    for (auto found = std::sregex_iterator(html.begin(), html.end(), square); found != std::sregex_iterator();
         ++found) {
        EXPECT_GE(std::stoi((*found)[1]), 5);
        ++squares;
    }
    EXPECT_GE(squares, 4U);
}

TEST_F(ReportOfTheDemo, LettersCarryTheContactFieldsAndAreTheirOwnersAlone) {
    ReportRequest asked = request();
    asked.letter = m_folder.write("letter.txt", "Dear {{owner}}, {{parcel_id}} is number {{rank}}: {{added_m3}} m3.\n");
    asked.top = 2;
    const auto third = OutputFile(asked.file).text("SELECT parcel_id FROM parcels WHERE rank = 3");
    asked.parcels = {third, third};
    const ReportDone done = write_report(asked, m_findings);
    EXPECT_EQ(done.letters, 3U);
    const std::string letter = bytes_of(fs::path(asked.folder) / "letters" / (third + ".txt"));
    const std::string owner = OutputFile(std::string(EAVESHED_SOURCE_DIR) + "/testdata/demo/parcels.gpkg")
                                  .text("SELECT owner FROM parcels WHERE apn = '" + third + "'");
    EXPECT_THAT(letter, AllOf(HasSubstr("Dear " + owner), HasSubstr(third + " is number 3")));
    EXPECT_EQ(fs::status(fs::path(asked.folder) / "letters" / (third + ".txt")).permissions(),
              fs::perms::owner_read | fs::perms::owner_write);
    lacks(bytes_of(asked.folder + "/index.html"), {owner});
}

TEST_F(ReportOfTheDemo, SheetsOfTheChosenParcelsStandBesideThePage) {
    ReportRequest asked = request();
    asked.top = 2;
    asked.parcels = {"01E-0136"};
    const ReportDone done = write_report(asked, m_findings);
    EXPECT_EQ(done.sheets, 3U);
    const std::string index = bytes_of(asked.folder + "/index.html");
    EXPECT_THAT(index, HasSubstr("href=\"parcels/01E-0136.html\">sheet</a>"));
    const OutputFile file(asked.file);
    for (const std::string rank : {"1", "2"}) {
        const std::string id = file.text("SELECT parcel_id FROM parcels WHERE rank = " + rank);
        const std::string sheet = bytes_of(asked.folder + "/parcels/" + id + ".html");
        EXPECT_THAT(sheet, HasSubstr("<h1>Parcel " + id + "</h1>"));
        EXPECT_THAT(sheet,
                    HasSubstr(fmt::format("{:.1f} m3", std::stod(file.text("SELECT forbearance_m3 FROM parcels WHERE "
                                                                           "rank = " +
                                                                           rank)))));
        for (const char* const part : {"To redo by hand", "Where the tanks could stand", "How the water runs",
                                       "Through the year", "Sizes that could stand there", "to look at on site",
                                       "work</h2>", "Cautions", "Content-Security-Policy"}) {
            EXPECT_THAT(sheet, HasSubstr(part)) << part;
        }
        holds(sheet, {"no. " + rank + " of 158 to call", "href=\"../index.html\""});
        lacks(sheet, {"{{", "nan", "<script src", "555-01"});
    }
    asked.overwrite = true;
    asked.top = 1;
    asked.parcels = {};
    EXPECT_EQ(write_report(asked, m_findings).sheets, 1U);
    EXPECT_FALSE(fs::exists(asked.folder + "/parcels/01E-0136.html"));
}

// A long id wraps in its cell, and its sheet's title with it: neither makes the page wider than its paper.
TEST_F(ReportOfTheDemo, ALongIdHasACellThatWraps) {
    ReportRequest asked = request();
    asked.file = copy();
    const std::string id(400, 'W');
    testing::edit_file(asked.file, {"UPDATE parcels SET parcel_id = '" + id + "' WHERE rank = 1"});
    const std::string html = page_of(asked);
    holds(html, {"<th scope=\"row\" class=\"long\"><a href=\"#rank-1\">" + id, "th.long {",
                 "h1, h2, p, li, dt, dd, figcaption, caption, tbody th, td { overflow-wrap: anywhere; }"});
    lacks(html, {"<span class=\"figure\">" + id});
}

TEST_F(ReportOfTheDemo, AWordWhereANumberBelongsIsToldWithItsTableColumnAndRow) {
    const std::string id = OutputFile(request().file).text("SELECT parcel_id FROM parcels WHERE rank = 2");
    for (const auto& [value, told] : {std::pair{"'abc'", "\"abc\""}, std::pair{"9e999", "no finite number"}}) {
        ReportRequest asked = request();
        asked.file = copy();
        asked.top = 1;
        testing::edit_file(asked.file,
                           {"UPDATE parcels SET added_gain_lps = " + std::string(value) + " WHERE rank = 2"});
        expect_input_error([&] { static_cast<void>(write_report(asked, m_findings)); },
                           {"table parcels", "column added_gain_lps", id, told});
        EXPECT_FALSE(fs::exists(asked.folder));
        fs::remove(asked.file);
    }
}

TEST_F(ReportOfTheDemo, AParcelWithoutAnIdStopsNoOther) {
    ReportRequest asked = request();
    asked.file = copy();
    asked.top = 3;
    testing::edit_file(asked.file, {"UPDATE parcels SET parcel_id = NULL WHERE rank = 2"});
    EXPECT_EQ(write_report(asked, m_findings).sheets, 2U);
    ASSERT_EQ(m_findings.count(Severity::warning), 1U);
    EXPECT_THAT(m_findings.list().front().trouble.found, HasSubstr("rank 2"));
}

TEST_F(ReportOfTheDemo, HowSureGravityIsIsCountedAsTheSentenceCountsIt) {
    const std::string html = page_of(request());
    const OutputFile file(request().file);
    const auto count = [&](const std::string& check) {
        return file.text("SELECT COUNT(*) FROM parcels WHERE rank IS NOT NULL AND gravity_check = '" + check + "'");
    };
    holds(html, {">yes (" + count("yes") + ")</text>", ">cannot tell (" + count("cannot_tell") + ")</text>",
                 ">no (" + count("no") + ")</text>",
                 "certain at " + count("yes") + ", out of the question at " + count("no") + ", and open at " +
                     count("cannot_tell")});
}

TEST_F(ReportOfTheDemo, ToStayAmongTheFirstIsNotToldWhereAllAre) {
    ReportRequest asked = request();
    holds(page_of(asked), {"stays in top 25", "of the first 25 stay among them"});
    asked.file = copy();
    asked.overwrite = true;
    testing::edit_file(asked.file, {"UPDATE parcels SET rank = NULL WHERE rank > 20"});
    lacks(page_of(asked), {"stays in top", "stay among them"});
}

TEST_F(ReportOfTheDemo, ASlipLeavesNothingBehind) {
    const auto refused = [&](ReportRequest asked, const std::vector<std::string>& parts) {
        expect_input_error([&] { static_cast<void>(write_report(asked, m_findings)); }, parts);
        EXPECT_FALSE(fs::exists(asked.folder));
    };
    ReportRequest asked = request();
    asked.letter = m_folder.write("bad.txt", "Dear\n{{ownr}}");
    refused(asked, {"--letter", "nobody"});
    asked.top = 2;
    refused(asked, {"line 2", "{{ownr}}", "'owner'"});
    asked.letter = m_folder.write("good.txt", "Dear {{owner}}");
    asked.parcels = {"01W-007"};
    refused(asked, {"01W-007", "did you mean"});
    asked.open_to_all = true;
    refused(asked, {"--public"});
    asked = request();
    asked.letter = m_folder.file("absent.txt");
    asked.top = 1;
    refused(asked, {"absent.txt"});
    for (const auto& entry : fs::directory_iterator(m_folder.path())) {
        EXPECT_EQ(entry.path().extension(), ".txt") << entry.path();
    }
}

TEST_F(ReportOfTheDemo, FilesOfOthersAndOfOlderVersionsAreTold) {
    const auto refused = [&](const std::string& file, const std::vector<std::string>& parts) {
        ReportRequest asked = request();
        asked.file = file;
        expect_input_error([&] { static_cast<void>(write_report(asked, m_findings)); }, parts);
        EXPECT_FALSE(fs::exists(asked.folder));
    };
    refused(m_folder.file("absent.gpkg"), {"absent.gpkg"});
    refused(m_folder.write("notes.gpkg", "not a database"), {"notes.gpkg", "eaveshed screen"});
    refused(std::string(EAVESHED_SOURCE_DIR) + "/testdata/demo/parcels.gpkg", {"run_record"});
    const std::string older = copy();
    testing::edit_file(older, {"DELETE FROM run_record WHERE key LIKE 'headline.%'"});
    refused(older, {"screen the basin again"});
    testing::edit_file(older, {"DELETE FROM pads"});
    fs::remove(older);
    const std::string cut = copy();
    testing::edit_file(cut, {"ALTER TABLE parcels DROP COLUMN added_gain_lps"});
    refused(cut, {"added_gain_lps", "screen the basin again"});
    fs::remove(cut);
    const std::string short_of_one = copy();
    testing::edit_file(short_of_one, {"DROP TABLE parcel_options"});
    refused(short_of_one, {"parcel_options", "screen the basin again"});
}

// A shape that is cut off, and one that is not finite: others are drawn, nothing stops.
TEST_F(ReportOfTheDemo, AShapeThatIsNoneIsNotDrawn) {
    ReportRequest asked = request();
    asked.file = copy();
    // Little-endian doubles of a polygon's first x become infinite (7FF0...): behind the header of 8 + 32 bytes of
    // envelope, then 1 + 4 + 4 (multi-polygon) + 1 + 4 + 4 + 4 (its polygon's ring).
    testing::edit_file(
        asked.file,
        {"UPDATE parcels SET geom = CAST(substr(geom, 1, 62) || x'000000000000F07F' || substr(geom, 71) AS BLOB) "
         "WHERE rank = 2",
         "UPDATE parcels SET geom = NULL WHERE rank = 3"});
    const std::string html = page_of(asked);
    holds(html, {"id=\"rank-1\"", "id=\"rank-4\""});
    lacks(html, {"id=\"rank-2\"", "id=\"rank-3\""});
}

TEST_F(ReportOfTheDemo, ACutFileLeavesNothingBehind) {
    ReportRequest asked = request();
    asked.file = copy();
    fs::resize_file(asked.file, fs::file_size(asked.file) / 2);
    EXPECT_THROW(static_cast<void>(write_report(asked, m_findings)), Error);
    EXPECT_FALSE(fs::exists(asked.folder));
    EXPECT_EQ(std::distance(fs::directory_iterator(m_folder.path()), {}), 1);
}

TEST_F(ReportOfTheDemo, ABasinOfFourIsNotForAll) {
    ReportRequest asked = request();
    asked.file = copy();
    asked.open_to_all = true;
    testing::edit_file(asked.file, {"UPDATE parcels SET rank = NULL WHERE rank > 4"});
    expect_input_error([&] { static_cast<void>(write_report(asked, m_findings)); }, {"at least 5", "--public"});
    EXPECT_FALSE(fs::exists(asked.folder));
}

TEST_F(ReportOfTheDemo, GroupsAndCurvesAddUpToTheHeadline) {
    const BasinRows rows = read_basin(open_result(request().file, m_findings), request().file);
    EXPECT_TRUE(m_findings.list().empty());
    const double felt = rows.facts.headline("creek").felt_lps;
    for (const auto& groups : {by_source(rows), by_delivery(rows)}) {
        double sum = 0.0;
        std::size_t number = 0;
        for (const AddedSum& group : groups) {
            sum += group.added_lps;
            number += group.number;
        }
        EXPECT_NEAR(sum, felt, 1e-9);
        EXPECT_EQ(number, 158U);
    }
    const GainCurve by_number = gain_by_number(rows);
    EXPECT_NEAR(by_number.points.back().y, felt, 1e-9);
    EXPECT_EQ(by_number.joined.back(), 158U);
    const GainCurve by_cost = gain_by_cost(rows);
    // Both curves begin at nothing: what is enrolled already is in neither.
    EXPECT_GT(rows.enrolment.enrolled_gain, 0.0);
    EXPECT_EQ(by_cost.points.front().y, 0.0);
    EXPECT_EQ(by_number.points.front().y, 0.0);
    EXPECT_NEAR(by_cost.points.back().y, rows.enrolment.curve.back().gain - rows.enrolment.enrolled_gain, 1e-12);
    for (std::size_t i = 1; i < by_cost.points.size(); ++i) {
        EXPECT_GE(by_cost.points[i].x, by_cost.points[i - 1].x);
        EXPECT_GE(by_cost.points[i].y, by_cost.points[i - 1].y);
    }
    std::int64_t from = 1;
    for (const RankClass& rank : kRankClasses) {
        EXPECT_EQ(rank.from, from);
        from = rank.below;
    }
}

TEST_F(ReportOfTheDemo, SettingsThatAreNotTheDefaultsStandWithoutPaths) {
    Settings settings;
    EXPECT_TRUE(changed_settings(settings).empty());
    settings.storage.reliability = 0.9;
    settings.terrain.elevation = {"/home/somebody/dem.tif"};
    const auto changed = changed_settings(settings);
    ASSERT_EQ(changed.size(), 1U);
    EXPECT_EQ(changed[0].name, "storage.reliability");
    EXPECT_EQ(changed[0].here, "0.9");
}

}  // namespace
}  // namespace eaveshed
