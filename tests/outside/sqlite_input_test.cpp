#include "eaveshed/outside/sqlite_input.hpp"

#include <chrono>
#include <filesystem>
#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sqlite3.h>

#include "eaveshed/core/error.hpp"
#include "support/raw_database.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using testing::RawDatabase;
using testing::TempFolder;

namespace fs = std::filesystem;

std::string made(const TempFolder& folder, const std::string& name, const std::string& sql) {
    const std::string path = folder.file(name);
    RawDatabase(path).run("CREATE TABLE a(x); INSERT INTO a VALUES (1);" + sql);
    return path;
}

Error error_of(const std::string& path) {
    Findings findings;
    try {
        const SqliteInput input("footprints.source", path, findings, std::chrono::milliseconds(50));
    } catch (const Error& error) {
        return error;
    }
    ADD_FAILURE() << "no error for " << path;
    return {Fault::internal, {}};
}

TEST(SqliteInput, IsKnownByItsFirstBytes) {
    const TempFolder folder;
    EXPECT_TRUE(is_sqlite(made(folder, "a.gpkg", "")));
    EXPECT_FALSE(is_sqlite(folder.write("b.gpkg", "SQLite format 3")));  // cut off
    EXPECT_FALSE(is_sqlite(folder.write("c.gpkg", "{\"type\":\"FeatureCollection\"}")));
    EXPECT_FALSE(is_sqlite(folder.file("missing")));
}

TEST(SqliteInput, AnOrdinaryFileIsLookedAtAndLeftAlone) {
    const TempFolder folder;
    const std::string path = made(folder, "a.gpkg", "CREATE VIEW \"Odd \"\" name\" AS SELECT * FROM a;");
    Findings findings;
    {
        const SqliteInput input("footprints.source", path, findings);
        EXPECT_FALSE(input.immutable());
        EXPECT_THAT(input.views(), ElementsAre("Odd \" name"));
        EXPECT_TRUE(input.is_view("odd \" NAME"));
        EXPECT_FALSE(input.is_view("a"));
    }
    EXPECT_THAT(findings.list(), IsEmpty());
    EXPECT_EQ(std::distance(fs::directory_iterator(folder.path()), {}), 1);
}

TEST(SqliteInput, AFileLockedByAnotherProgramIsAPassingError) {
    const TempFolder folder;
    const std::string path = made(folder, "a.gpkg", "");
    RawDatabase writer(path);
    writer.run("BEGIN EXCLUSIVE");
    const Error error = error_of(path);
    EXPECT_EQ(error.fault(), Fault::passing);
    EXPECT_EQ(error.exit_code(), 75);
    EXPECT_THAT(error.trouble().remedy, HasSubstr("close the program"));
}

TEST(SqliteInput, ADamagedFileNamesTheWayToSaveIt) {
    const TempFolder folder;
    const std::string path = folder.write("a.gpkg", std::string("SQLite format 3\0", 16) + std::string(5000, 'x'));
    const Error error = error_of(path);
    EXPECT_EQ(error.fault(), Fault::input);
    EXPECT_THAT(error.trouble().remedy, HasSubstr(".recover"));
}

// What a writer killed inside a transaction leaves: a main file that was changed half-way and the journal to undo it.
TEST(SqliteInput, AnUnfinishedJournalIsExplained) {
    const TempFolder folder;
    const std::string path = made(folder, "whole.gpkg", "");
    {
        RawDatabase writer(path);
        writer.run(
            "PRAGMA cache_size = 1; PRAGMA cache_spill = 1; BEGIN; CREATE TABLE big(x);"
            "WITH RECURSIVE r(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM r WHERE n < 2000)"
            " INSERT INTO big SELECT randomblob(500) FROM r;");
        ASSERT_TRUE(fs::exists(path + "-journal"));
        fs::copy_file(path, folder.file("killed.gpkg"));
        fs::copy_file(path + "-journal", folder.file("killed.gpkg-journal"));
        writer.run("ROLLBACK");
    }
    const Error error = error_of(folder.file("killed.gpkg"));
    EXPECT_EQ(error.fault(), Fault::input);
    EXPECT_THAT(error.trouble().found, HasSubstr("'killed.gpkg-journal' beside it, left by an interrupted write"));
    EXPECT_THAT(error.trouble().remedy, HasSubstr("open it once for writing"));
}

TEST(SqliteInput, WriteAheadModeWithoutItsLogIsAWarningAndReadAsUnchangeable) {
    const TempFolder folder;
    const std::string path = made(folder, "a#b?c%d.gpkg", "PRAGMA journal_mode = WAL;");
    ASSERT_FALSE(fs::exists(path + "-wal"));
    Findings findings;
    {
        const SqliteInput input("footprints.source", path, findings);
        EXPECT_TRUE(input.immutable());
    }
    ASSERT_EQ(findings.count(Severity::warning), 1U);
    EXPECT_THAT(findings.list().front().trouble.remedy, HasSubstr("recent edits may be missing"));
    EXPECT_EQ(std::distance(fs::directory_iterator(folder.path()), {}), 1);  // nothing was left beside it
}

TEST(SqliteInput, AWriteAheadLogIsReadAlongAndNoted) {
    const TempFolder folder;
    const std::string path = made(folder, "a.gpkg", "PRAGMA journal_mode = WAL;");
    RawDatabase writer(path);
    writer.run("PRAGMA wal_autocheckpoint = 0; CREATE VIEW late AS SELECT * FROM a;");
    Findings findings;
    const SqliteInput input("footprints.source", path, findings);
    EXPECT_FALSE(input.immutable());
    EXPECT_THAT(input.views(), ElementsAre("late"));  // it stands in the log only
    EXPECT_EQ(findings.count(Severity::note), 1U);
}

TEST(SqliteInput, AStandardTableThatIsAViewIsRefused) {
    const TempFolder folder;
    const std::string path = made(folder, "a.gpkg", "CREATE VIEW GPKG_contents AS SELECT * FROM a;");
    EXPECT_THAT(error_of(path).trouble().found, HasSubstr("'GPKG_contents' as a view"));
}

}  // namespace
}  // namespace eaveshed
