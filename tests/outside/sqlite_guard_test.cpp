#include "eaveshed/outside/sqlite_guard.hpp"

#include <array>
#include <chrono>
#include <csignal>
#include <string>
#include <utility>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sqlite3.h>

#include "eaveshed/stop/stop.hpp"
#include "support/raw_database.hpp"

namespace eaveshed {
namespace {

using ::testing::AnyOf;
using ::testing::HasSubstr;
using testing::RawDatabase;

int code_of(const RawDatabase& database, const std::string& sql) {
    return sqlite3_exec(database.handle(), sql.c_str(), nullptr, nullptr, nullptr);
}

TEST(SqliteWatch, StopsAStatementThatNeverEnds) {
    const RawDatabase memory(":memory:");
    SqliteWatch watch(memory.handle(), std::chrono::milliseconds(50));
    const char* const endless = "WITH RECURSIVE r(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM r) SELECT max(n) FROM r";
    EXPECT_EQ(sqlite3_exec(memory.handle(), endless, nullptr, nullptr, nullptr), SQLITE_INTERRUPT);
    EXPECT_TRUE(watch.expired());
    watch.restart();
    EXPECT_FALSE(watch.expired());
    EXPECT_EQ(sqlite3_exec(memory.handle(), "SELECT 1", nullptr, nullptr, nullptr), SQLITE_OK);
}

TEST(SqliteWatch, RunsNoTriggersAndLoadsNoExtensions) {
    RawDatabase memory(":memory:");
    memory.run(
        "CREATE TABLE a(x); CREATE TABLE b(x);"
        "CREATE TRIGGER t AFTER INSERT ON a BEGIN INSERT INTO b VALUES (1); END;");
    const SqliteWatch watch(memory.handle(), std::chrono::seconds(5));
    memory.run("INSERT INTO a VALUES (1)");
    memory.run("CREATE TEMP TABLE must_be_empty(x CHECK (x = 0)); INSERT INTO must_be_empty SELECT count(*) FROM b");
    EXPECT_NE(sqlite3_exec(memory.handle(), "SELECT load_extension('nothing')", nullptr, nullptr, nullptr), SQLITE_OK);
    EXPECT_NE(sqlite3_exec(memory.handle(), "PRAGMA writable_schema = ON; DELETE FROM sqlite_master", nullptr, nullptr,
                           nullptr),
              SQLITE_OK);
}

TEST(SqliteWatch, ARequestedStopEndsAStatement) {
    const RawDatabase memory(":memory:");
    const SqliteWatch watch(memory.handle(), std::chrono::hours(1));
    request_stop(SIGTERM);
    EXPECT_EQ(code_of(memory, "WITH RECURSIVE r(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM r) SELECT max(n) FROM r"),
              SQLITE_INTERRUPT);
    EXPECT_FALSE(watch.expired());
    request_stop(0);
}

// What a stranger's statement may ask for. Each is one that SQLite as it comes takes.
TEST(Harden, StatementsStaySmall) {
    std::string deep = "1";
    for (int i = 0; i < 600; ++i) {
        deep += "+1";
    }
    std::string compound = "SELECT 1";
    for (int i = 0; i < 100; ++i) {
        compound += " UNION ALL SELECT 1";
    }
    const std::array<std::string, 8> asked{
        "SELECT length(zeroblob(300000000))",
        "SELECT " + deep,
        compound,
        "SELECT 'a' LIKE '" + std::string(2'000, '%') + "'",
        "SELECT '" + std::string(1'100'000, 'x') + "'",
        "ATTACH ':memory:' AS other",
        "SELECT \"no such column\"",  // else a text
        "SELECT ?30000",
    };
    for (const std::string& sql : asked) {
        const RawDatabase soft(":memory:");
        EXPECT_EQ(code_of(soft, sql), SQLITE_OK) << sql.substr(0, 60);
        const RawDatabase hard(":memory:");
        harden(hard.handle());
        EXPECT_NE(code_of(hard, sql), SQLITE_OK) << sql.substr(0, 60);
    }
}

TEST(SqliteReadsOnly, ConditionsReadOneTableAndCallWhatGivesTheSameEveryDay) {
    RawDatabase memory(":memory:");
    memory.run("CREATE TABLE a(x); CREATE TABLE b(x); CREATE VIEW v AS SELECT x FROM b; INSERT INTO a VALUES (1)");
    {
        const SqliteReadsOnly guard(memory.handle(), SqliteReadsOnly::Whose::condition, "A");
        EXPECT_EQ(code_of(memory, "SELECT x FROM a WHERE upper(x) LIKE '1%' AND coalesce(x, 0) > 0"), SQLITE_OK);
        for (const char* const refused :
             {"SELECT x FROM a WHERE x IN b", "SELECT x FROM a WHERE x IN (SELECT x FROM v)",
              "SELECT x FROM a WHERE random() > 0", "SELECT x FROM a WHERE x IN (SELECT name FROM sqlite_master)",
              "SELECT x FROM a WHERE date('now') > x", "PRAGMA user_version", "DELETE FROM a", "ATTACH 'x' AS y",
              "SELECT (WITH RECURSIVE r(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM r LIMIT 9) SELECT max(n) FROM r)",
              "CREATE TEMP TABLE c(x)", "BEGIN"}) {
            EXPECT_NE(code_of(memory, refused), SQLITE_OK) << refused;
            EXPECT_THAT(sqlite3_errmsg(memory.handle()), AnyOf(HasSubstr("not authorized"), HasSubstr("prohibited")));
            EXPECT_TRUE(blames_statement(memory.handle()));
        }
    }
    EXPECT_EQ(code_of(memory, "SELECT x FROM b"), SQLITE_OK);  // as before
}

TEST(SqliteReadsOnly, ALibraryReadsAnyTableAndWritesNoneAndViewsSayWhatTheySay) {
    RawDatabase memory(":memory:");
    memory.run(
        "CREATE TABLE a(x); CREATE VIEW v AS WITH RECURSIVE r(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM r LIMIT 9) "
        "SELECT hex(n) AS h FROM r");
    const char* const recursive =
        "WITH RECURSIVE r(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM r LIMIT 9) SELECT max(n) FROM r";
    {
        const SqliteReadsOnly guard(memory.handle(), SqliteReadsOnly::Whose::library);
        for (const char* const allowed : {"SELECT count(*), max(x) FROM a", "PRAGMA table_info(a)", "BEGIN; COMMIT"}) {
            EXPECT_EQ(code_of(memory, allowed), SQLITE_OK) << allowed;
        }
        for (const char* const refused : {"INSERT INTO a VALUES (1)", "DROP TABLE a", "SELECT randomblob(9)",
                                          "ATTACH 'x' AS y", recursive, "SELECT h FROM v"}) {
            EXPECT_NE(code_of(memory, refused), SQLITE_OK) << refused;
        }
    }
    const SqliteReadsOnly guard(memory.handle(), SqliteReadsOnly::Whose::view);
    EXPECT_EQ(code_of(memory, "SELECT h FROM v"), SQLITE_OK);
    EXPECT_NE(code_of(memory, "DROP VIEW v"), SQLITE_OK);
}

}  // namespace
}  // namespace eaveshed
