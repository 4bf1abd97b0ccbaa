#include "eaveshed/result/result_reader.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "eaveshed/result/recorded_run.hpp"
#include "result/little_result.hpp"
#include "support/edit_file.hpp"
#include "support/expect_error.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using ::testing::ElementsAre;
using testing::expect_input_error;
using testing::little_result;
using testing::TempFolder;

TEST(ResultReader, GivesRecordAndRows) {
    const TempFolder folder;
    Findings findings;
    const ResultReader reader(little_result(folder), findings);
    EXPECT_EQ(reader.record().size(), 2U);
    EXPECT_EQ(reader.record_value("setting.a"), "1");
    EXPECT_EQ(reader.record_value("setting.b"), "");
    EXPECT_THAT(reader.texts("roofs", "roof_id"), ElementsAre("A", "B", "A"));
    const auto rows = reader.rows_where("roofs", "roof_id", "A", 10);
    ASSERT_EQ(rows.size(), 2U);
    EXPECT_EQ(rows[0].at("odd \"name"), Value(1.5));
    EXPECT_EQ(rows[1].at("fid"), Value(std::int64_t{3}));
    EXPECT_EQ(rows[0].at("geom"), Value());
    EXPECT_EQ(reader.rows_where("roofs", "roof_id", "A", 1).size(), 1U);
    EXPECT_TRUE(reader.rows_where("roofs", "roof_id", "' OR 1 --", 10).empty());
    expect_input_error([&] { (void)reader.texts("pads", "roof_id"); }, {"pads"});
    expect_input_error([&] { (void)reader.texts("roofs", "parcel_id"); }, {"parcel_id"});
    EXPECT_TRUE(findings.list().empty());
}

TEST(ResultReader, AFileWithoutATableIsToldApartFromOneWithoutAColumn) {
    const TempFolder folder;
    Findings findings;
    const std::string path = little_result(folder);
    const ResultReader reader = open_result(path, findings);
    expect_input_error([&] { (void)reader.texts("pads", "roof_id"); }, {"no table pads", "screen the basin again"});
    expect_input_error([&] { (void)reader.columns("pads"); }, {"no table pads", "screen the basin again"});
    ASSERT_EQ(findings.list().size(), 1U);
    EXPECT_THAT(findings.list()[0].trouble.found, ::testing::HasSubstr("pads"));
    EXPECT_THAT(findings.list()[0].trouble.found, ::testing::Not(::testing::HasSubstr("roofs")));
    testing::edit_file(path, {"DROP TABLE run_record"});
    Findings more;
    expect_input_error([&] { const ResultReader none(path, more); }, {"no table run_record"});
}

TEST(ResultReader, ViewsAreNoTables) {
    const TempFolder folder;
    Findings findings;
    const ResultReader reader(
        little_result(folder, {"CREATE VIEW pads AS WITH RECURSIVE c(roof_id) AS (VALUES('A') UNION ALL SELECT "
                               "roof_id FROM c) SELECT * FROM c"}),
        findings);
    expect_input_error([&] { (void)reader.rows_where("pads", "roof_id", "A", 10); }, {"pads"});
}

TEST(ResultReader, ReadsAFileLeftInWriteAheadMode) {
    const TempFolder folder;
    Findings findings;
    const ResultReader reader(little_result(folder, {"PRAGMA journal_mode = WAL"}), findings);
    EXPECT_EQ(reader.texts("roofs", "roof_id").size(), 3U);
    EXPECT_EQ(findings.count(Severity::warning), 1U);
}

TEST(ResultReader, DamageIsAWorkingError) {
    const TempFolder folder;
    const std::string path = little_result(folder);
    const std::string bytes = testing::bytes_of(path);
    folder.write("result.gpkg", bytes.substr(0, 4096) + std::string(bytes.size() - 4096, 'x'));
    testing::expect_error(
        [&] {
            Findings findings;
            const ResultReader reader(path, findings);
        },
        Fault::working, {"result.gpkg"});
}

TEST(ResultReader, GivesRowsOneByOneInTheOrderOfNumbersOrOfTheFirstColumnsBytes) {
    const TempFolder folder;
    Findings findings;
    const ResultReader reader(
        little_result(folder, {"INSERT INTO roofs VALUES (9, NULL, 'a', 4), (5, NULL, NULL, 5), (7, NULL, 'A', 6)"}),
        findings);
    const auto numbers = [&](RowOrder order) {
        std::vector<std::int64_t> found;
        for (RowCursor rows = reader.rows("roofs", {"roof_id", "geom"}, order); rows.next();) {
            found.push_back(rows.number());
            EXPECT_EQ(rows.values().size(), 2U);
            EXPECT_EQ(rows.values()[1], Value());
        }
        return found;
    };
    EXPECT_THAT(numbers(RowOrder::number), ElementsAre(1, 2, 3, 5, 7, 9));
    EXPECT_THAT(numbers(RowOrder::first_column), ElementsAre(5, 1, 3, 7, 2, 9));
    expect_input_error([&] { (void)reader.rows("roofs", {"owner"}, RowOrder::number); }, {"owner", "roofs"});
}

TEST(ResultReader, FindsRowsByTheirNumbersWithTheBytesOfABlob) {
    const TempFolder folder;
    Findings findings;
    const ResultReader reader(little_result(folder), findings);
    RowFinder finder = reader.finder("roofs", {"roof_id", "geom"});
    finder.find(2);
    EXPECT_EQ(finder.values()[0], Value(std::string("B")));
    EXPECT_TRUE(finder.bytes(1).empty());
    finder.find(1);
    EXPECT_EQ(finder.values()[0], Value(std::string("A")));
    ASSERT_EQ(finder.bytes(1).size(), 1U);
    EXPECT_EQ(finder.bytes(1)[0], 0);
    expect_input_error([&] { finder.find(4); }, {"no row 4"});
}

}  // namespace
}  // namespace eaveshed
