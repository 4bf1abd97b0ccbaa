// A round of contacts: a list goes out, people fill it in, and the next run knows how far talks are.
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/stat.h>

#include <fstream>
#include <regex>
#include <sstream>

#include "eaveshed/offer/call_list.hpp"
#include "eaveshed/result/recorded_run.hpp"
#include "eaveshed/run/check.hpp"
#include "run/override_basin.hpp"
#include "support/edit_file.hpp"
#include "support/expect_error.hpp"

namespace eaveshed {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;
using testing::OutputFile;
using testing::TempFolder;

class RoundOfContacts : public ::testing::Test {
protected:
    // A basin whose parcels say who was talked to already and how to reach them.
    std::string project(const std::string& more = "") {
        SmallBasin basin;
        basin.settings = "status = \"talks\"\ncarry = [\"owner\", \"status\"]\n" + more;  // still under [parcels]
        const std::string file = write_basin(m_folder, basin);
        testing::edit_file(m_folder.file("parcels.gpkg"),
                           {"ALTER TABLE parcels ADD COLUMN talks TEXT", "ALTER TABLE parcels ADD COLUMN owner TEXT",
                            "ALTER TABLE parcels ADD COLUMN status TEXT",
                            "UPDATE parcels SET owner = '=cmd|x <b>' || apn, status = 'ours', talks = CASE fid WHEN 1 "
                            "THEN 'declined' WHEN 2 THEN 'contacted' END"});
        return file;
    }
    std::string out(const std::string& name = "out.gpkg") { return m_folder.file(name); }
    CallList list(const ListFiles& files, const std::string& from = "") {
        Findings findings;
        RankRequest request;
        request.file = out();
        request.project = from;
        request.draws = 0;
        request.lists = files;
        CallList found = call_list(request, findings);
        write_lists(files, call_table(found));
        return found;
    }
    std::string content(const std::string& name) {
        std::ifstream in(m_folder.file(name), std::ios::binary);
        std::ostringstream text;
        text << in.rdbuf();
        return text.str();
    }
    std::string status_of(const std::string& parcel, const std::string& name = "out.gpkg") {
        return OutputFile(m_folder.file(name))
            .text("SELECT contact_status FROM parcels WHERE parcel_id = '" + parcel + "'");
    }
    TempFolder m_folder;
};

// The line of a parcel with another status and a date, and lines that end as a spreadsheet of another system ends them.
std::string as_saved_by_a_spreadsheet(const std::string& csv, const std::string& parcel, const std::string& status) {
    std::string text;
    std::istringstream lines(csv);
    for (std::string line; std::getline(lines, line);) {
        if (line.find("," + parcel + ",") != std::string::npos) {
            line = std::regex_replace(line, std::regex(",(candidate|contacted),"), "," + status + ",2026-11-25,");
            line = std::regex_replace(line, std::regex("2026-11-25,,"), "2026-11-25,");
        }
        text += line + "\n";
    }
    return text;
}

TEST_F(RoundOfContacts, AListThatWasFilledInIsTheNextRunsStatus) {
    const std::string first = project();
    screened(first, out(), {.overwrite = true});
    const CallList before = list({.csv = m_folder.file("calls.csv")});
    ASSERT_GT(before.parcels.size(), 3U);
    const std::string csv = content("calls.csv");
    EXPECT_THAT(csv.substr(0, csv.find('\n')),
                HasSubstr("Rank,Parcel id,owner,status (parcels),Status,Date,Outcome,Next step,Ask first"));
    EXPECT_THAT(csv, HasSubstr("'=cmd|x <b>"));  // a name stays a text
    const std::string declined = before.parcels[0].parcel_id;
    const std::string booked = before.parcels[1].parcel_id;
    std::string edited = as_saved_by_a_spreadsheet(csv, declined, "Declined");
    edited = as_saved_by_a_spreadsheet(edited, booked, "visit booked");
    m_folder.write("filled.csv", edited);
    const std::string second = project("[contacts]\nsource = \"filled.csv\"\n");
    screened(second, out("next.gpkg"));
    EXPECT_EQ(status_of(declined, "next.gpkg"), "declined");
    EXPECT_EQ(status_of(booked, "next.gpkg"), "visit_booked");
    EXPECT_EQ(status_of(before.parcels[2].parcel_id, "next.gpkg"), status_of(before.parcels[2].parcel_id));
    const OutputFile next(out("next.gpkg"));
    EXPECT_EQ(next.text("SELECT rank FROM parcels WHERE parcel_id = '" + declined + "'"), "");
    EXPECT_NE(next.text("SELECT rank FROM parcels WHERE parcel_id = '" + booked + "'"), "");
    EXPECT_EQ(next.count("SELECT COUNT(*) FROM run_record WHERE value LIKE '%cmd|x%'"), 0);
    EXPECT_EQ(next.count("SELECT COUNT(*) FROM run_record WHERE value = 'contacts.source'"), 1);
}

TEST_F(RoundOfContacts, ASpreadsheetComesBackAsItWentOut) {
    screened(project(), out(), {.overwrite = true});
    const CallList before = list({.xlsx = m_folder.file("calls.xlsx")});
    const std::string changed = before.parcels.front().parcel_id;
    {
        GdalSession::start();
        const GdalErrors quiet;
        DatasetHandle book(GDALDataset::Open(m_folder.file("calls.xlsx").c_str(), GDAL_OF_VECTOR | GDAL_OF_UPDATE));
        ASSERT_NE(book, nullptr);
        OGRLayer& sheet = *book->GetLayer(0);
        const OGRFeatureUniquePtr row(sheet.GetNextFeature());
        EXPECT_EQ(row->GetFieldAsString("Parcel id"), changed);
        row->SetField("Status", "Interested");
        ASSERT_EQ(sheet.SetFeature(row.get()), OGRERR_NONE);
    }
    const std::string second = project("[contacts]\nsource = \"calls.xlsx\"\nlayer = \"calls\"\n");
    screened(second, out("next.gpkg"));
    EXPECT_EQ(status_of(changed, "next.gpkg"), "interested");
    const OutputFile next(out("next.gpkg"));
    const OutputFile last(out());
    EXPECT_EQ(next.count("SELECT COUNT(*) FROM parcels WHERE rank IS NOT NULL"),
              last.count("SELECT COUNT(*) FROM parcels WHERE rank IS NOT NULL"));
}

TEST_F(RoundOfContacts, TheListWinsOverTheParcelsAndMeasuredValuesOverTheList) {
    m_folder.write("filled.csv",
                   "Parcel id,Status\nPR01,candidate\nPR03,\nPR05,declined\nPR07,declined\nelsewhere,visited\n");
    m_folder.write("measured.csv", "parcel_id,status\nPR07,interested\n");
    const OverrideRun run =
        run_of(project("[contacts]\nsource = \"filled.csv\"\n[overrides]\nsource = \"measured.csv\"\n"), out());
    EXPECT_EQ(status_of("PR01"), "candidate");  // the parcels say declined
    EXPECT_EQ(status_of("PR03"), "contacted");  // the list says nothing
    EXPECT_EQ(status_of("PR05"), "declined");
    EXPECT_EQ(status_of("PR07"), "interested");
    EXPECT_THAT(run.warnings, HasSubstr("1 row for no parcel: 'elsewhere' (row 5)"));
    EXPECT_THAT(run.warnings, HasSubstr("1 parcel that the list calls candidate"));
}

TEST_F(RoundOfContacts, CheckSaysWhatTheListHolds) {
    m_folder.write("filled.csv", "Parcel id,Status\nPR01,visited\nPR03,\n");
    Findings findings;
    const Project loaded = load_project(project("[contacts]\nsource = \"filled.csv\"\n"), findings);
    const CheckReport report = check(loaded, findings);
    EXPECT_THAT(report_text(loaded, report, findings), HasSubstr("contacts            2 rows, 1 with a status"));
}

TEST_F(RoundOfContacts, ListsAreTheirOwnersAndStayUnlessTheyMayBeReplaced) {
    screened(project(), out(), {.overwrite = true});
    ListFiles files{.csv = m_folder.file("calls.csv"), .xlsx = m_folder.file("calls.xlsx")};
    list(files);
    for (const std::string& file : {files.csv, files.xlsx}) {
        struct stat state {};
        ASSERT_EQ(::stat(file.c_str(), &state), 0);
        EXPECT_EQ(state.st_mode & 0777U, 0600U);
    }
    testing::expect_input_error([&] { list(files); }, {"calls.csv", "a list that exists", "--overwrite"});
    files.overwrite = true;
    list(files);
    // What the run read is never written over.
    files.xlsx = "";
    for (const char* const input : {"basin.csv", "parcels.gpkg"}) {
        files.csv = m_folder.file(input);
        if (std::string(input) == "basin.csv") {
            std::filesystem::create_hard_link(m_folder.file("parcels.gpkg"), files.csv);
        }
        testing::expect_error([&] { list(files); }, Fault::input, {input});
    }
}

TEST_F(RoundOfContacts, ParcelsThatMovedAreFoundFromTheProjectOrItsFolder) {
    const std::string file = project();
    screened(file, out(), {.overwrite = true});
    const TempFolder elsewhere;
    std::filesystem::rename(out(), elsewhere.file("out.gpkg"));
    Findings findings;
    RankRequest request;
    request.file = elsewhere.file("out.gpkg");
    request.draws = 0;
    request.lists.csv = elsewhere.file("calls.csv");
    testing::expect_input_error([&] { static_cast<void>(call_list(request, findings)); },
                                {"parcels.source", "not there", "--project", "its folder"});
    for (const std::string& named : {file, m_folder.path().string()}) {
        request.project = named;
        EXPECT_THAT(call_list(request, findings).contacts.entries.at(0).at(0), HasSubstr("=cmd"));
    }
    request.project = elsewhere.file("none.toml");
    testing::expect_input_error([&] { static_cast<void>(call_list(request, findings)); }, {"--project", "none.toml"});
}

TEST_F(RoundOfContacts, AnOutputInAFolderOfTheProjectIsFoundByItsName) {
    const std::string file = project("[basin]\noutput = \"results/out.gpkg\"\n");
    std::filesystem::create_directory(m_folder.path() / "results");
    screened(file, "");
    Findings findings;
    RankRequest request;
    request.file = m_folder.file("results/out.gpkg");
    request.draws = 0;
    request.lists.csv = m_folder.file("calls.csv");
    EXPECT_FALSE(call_list(request, findings).contacts.entries.empty());
}

TEST(RoundWithoutParcels, SaysWhatToDo) {
    const TempFolder folder;
    SmallBasin basin;
    basin.parcels_crs = "";
    screened(write_basin(folder, basin), folder.file("out.gpkg"));
    Findings findings;
    RankRequest request;
    request.file = folder.file("out.gpkg");
    testing::expect_input_error([&] { static_cast<void>(call_list(request, findings)); },
                                {"no parcels", "[parcels]", "screen again"});
}

}  // namespace
}  // namespace eaveshed
