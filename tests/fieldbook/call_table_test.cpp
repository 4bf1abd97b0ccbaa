#include "eaveshed/fieldbook/call_table.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "eaveshed/vector/vector_source.hpp"
#include "support/expect_error.hpp"
#include "support/temp_folder.hpp"
#include "support/vector_file.hpp"

namespace eaveshed {
namespace {

using ::testing::HasSubstr;
using ::testing::IsEmpty;
using testing::TempFolder;

struct ReadCalls {
    CallTable table;
    std::string warnings;
};

ReadCalls read_calls(const std::string& path, const std::string& sheet = "") {
    Findings findings;
    auto source = VectorSource::open("contacts", {path, sheet}, {}, "", findings);
    ReadCalls read{read_call_table(source, findings), {}};
    for (const Finding& finding : findings.list()) {
        read.warnings += to_text(finding.trouble) + '\n';
    }
    return read;
}

ReadCalls read_calls_csv(const std::string& text) {
    const TempFolder folder;
    return read_calls(folder.write("calls.csv", text));
}

TEST(CallTable, FindsItsColumnsWhateverTheirOrderCaseAndBlanks) {
    const ReadCalls read = read_calls_csv(
        "owner,STATUS,next_step,Parcel_ID,outcome,DATE\n"
        "Ada,Visit booked,call again,P1,friendly,2026-11-25\n"
        "Bo,,,P2,,\n");
    EXPECT_THAT(read.warnings, IsEmpty());
    EXPECT_EQ(read.table.rows, 2U);
    ASSERT_EQ(read.table.entries.size(), 1U);  // the second says nothing
    const CallEntry& entry = read.table.entries.front();
    EXPECT_EQ(entry.parcel_id, "P1");
    EXPECT_EQ(entry.status, "Visit booked");
    EXPECT_EQ(entry.date, "2026-11-25");
    EXPECT_EQ(entry.row_number, 1);
}

TEST(CallTable, ADayThatNoCalendarHasIsNoDate) {
    const ReadCalls read = read_calls_csv(
        "Parcel id,Status,Date\nP1,declined,2026-11-35\nP2,declined,30.02.2026\nP3,declined,29.02.2028\n");
    ASSERT_EQ(read.table.entries.size(), 3U);
    EXPECT_EQ(read.table.entries[0].date, "");
    EXPECT_EQ(read.table.entries[1].date, "");
    EXPECT_EQ(read.table.entries[2].date, "2028-02-29");
    EXPECT_EQ(read.table.dates_not_understood, 2U);
}

TEST(CallTable, TakesOffTheApostropheThatKeepsATextFromBeingAFormula) {
    const ReadCalls read = read_calls_csv("Parcel id,Status\n'=A1,declined\n'-7-b,declined\n'tHooft,declined\n");
    ASSERT_EQ(read.table.entries.size(), 3U);
    EXPECT_EQ(read.table.entries[0].parcel_id, "=A1");
    EXPECT_EQ(read.table.entries[1].parcel_id, "-7-b");
    EXPECT_EQ(read.table.entries[2].parcel_id, "'tHooft");  // the name's own
}

TEST(CallTable, KnowsADateByItsForm) {
    const ReadCalls read = read_calls_csv(
        "Parcel id;Status;Date\n1;declined;2026-11-25 10:00:00\n2;declined;2026/11/25\n3;declined;3.4.26\n"
        "4;declined;25.11.2026\n5;declined;5.3.2026\n6;declined;3/11/2026\n");
    ASSERT_EQ(read.table.entries.size(), 6U);  // semicolons, as spreadsheets of some languages write them
    EXPECT_EQ(read.table.entries[0].date, "2026-11-25");
    EXPECT_EQ(read.table.entries[1].date, "2026-11-25");
    EXPECT_EQ(read.table.entries[2].date, "");
    EXPECT_EQ(read.table.entries[3].date, "2026-11-25");
    EXPECT_EQ(read.table.entries[4].date, "2026-03-05");
    EXPECT_EQ(read.table.entries[5].date, "");  // either number may be the month
    EXPECT_EQ(read.table.dates_not_understood, 2U);
}

TEST(CallTable, SemicolonsBesideACommaInAHeadingAreTold) {
    testing::expect_input_error([] { read_calls_csv("Rank;Parcel id;Gain, L/s;Status\n1;A;0.1;declined\n"); },
                                {"no column 'Parcel id'", "commas out of the headings"});
}

TEST(CallTable, CellsMayAllStandBetweenQuotes) {
    const ReadCalls read = read_calls_csv(
        "\xEF\xBB\xBF\"Parcel id\";\"Ask first\";\"Status\"\r\n\"00123\";\"Ask \"\"why\"\";\nand "
        "when\";\"declined\"\r\n");
    ASSERT_EQ(read.table.entries.size(), 1U);
    EXPECT_EQ(read.table.entries[0].parcel_id, "00123");
    EXPECT_EQ(read.table.entries[0].status, "declined");
}

TEST(CallTable, ASpreadsheetReadsAsTextDoes) {
    const TempFolder folder;
    testing::LayerToWrite sheet;
    sheet.name = "calls";
    sheet.type = wkbNone;
    sheet.crs = "";
    sheet.fields = {{"Rank", OFTInteger}, {"Parcel id", OFTInteger}, {"Status"}, {"Date", OFTDate}};
    sheet.rows = {{"", {"1", "123", "enrolled", "2026/11/25"}}, {"", {"2", "124", std::nullopt, std::nullopt}}};
    const std::string path = folder.file("calls.xlsx");
    testing::write_vector("XLSX", path, {sheet});
    const ReadCalls read = read_calls(path);
    EXPECT_THAT(read.warnings, IsEmpty());
    ASSERT_EQ(read.table.entries.size(), 1U);
    EXPECT_EQ(read.table.entries[0].parcel_id, "123");
    EXPECT_EQ(read.table.entries[0].status, "enrolled");
    EXPECT_EQ(read.table.entries[0].date, "2026-11-25");
}

TEST(CallTable, OfSeveralSheetsOneIsNamed) {
    const TempFolder folder;
    testing::LayerToWrite sheet;
    sheet.name = "calls";
    sheet.type = wkbNone;
    sheet.crs = "";
    sheet.fields = {{"Parcel id"}, {"Status"}};
    sheet.rows = {{"", {"P1", "declined"}}};
    testing::LayerToWrite other = sheet;
    other.name = "notes";
    const std::string path = folder.file("calls.xlsx");
    testing::write_vector("XLSX", path, {sheet, other});
    testing::expect_input_error([&] { read_calls(path); }, {"contacts.source", "calls", "notes", "layer ="});
    EXPECT_EQ(read_calls(path, "calls").table.entries.size(), 1U);
}

TEST(CallTable, WithoutIdsOrStatusItSaysWhatIsThereAndWhatToDo) {
    testing::expect_input_error([] { read_calls_csv("parcel,status\nP1,declined\n"); },
                                {"no column 'Parcel id'", "parcel, status", "eaveshed rank"});
    testing::expect_input_error([] { read_calls_csv("parcel_id,state\nP1,declined\n"); }, {"no column 'Status'"});
}

TEST(CallTable, AFileThatIsNoListIsAnErrorWithARemedy) {
    const TempFolder folder;
    // The first bytes of a compound file, as .xls is one.
    const std::string old = folder.write("calls.xls", std::string("\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1", 8) + "old");
    testing::expect_input_error([&] { read_calls(old); }, {"calls.xls", "XLSX or CSV", "save it as .xlsx"});
    const std::string broken = folder.write("calls.xlsx", "PK\x03\x04 and no more");
    testing::expect_input_error([&] { read_calls(broken); }, {"calls.xlsx", "XLSX or CSV"});
}

}  // namespace
}  // namespace eaveshed
