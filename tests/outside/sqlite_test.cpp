#include "eaveshed/outside/sqlite.hpp"

#include <gtest/gtest.h>
#include <sqlite3.h>

#include <array>

#include "support/expect_error.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using testing::TempFolder;

// An empty file is an empty database.
std::string empty_database(const TempFolder& folder) {
    return folder.write("a.db", "");
}

TEST(Sqlite, IdentifiersAreQuoted) {
    EXPECT_EQ(quoted_identifier("roofs"), "\"roofs\"");
    EXPECT_EQ(quoted_identifier("a\"b"), "\"a\"\"b\"");
    EXPECT_EQ(quoted_identifier("x; DROP TABLE y"), "\"x; DROP TABLE y\"");
}

TEST(Sqlite, BoundValuesComeBackAsTheyWere) {
    const TempFolder folder;
    Database database(empty_database(folder));
    database.run("CREATE TABLE t(a, b, c, d, e)");
    const std::string hostile("'; DROP TABLE t; --\0x", 21);
    {
        Statement insert(database, "INSERT INTO t VALUES (?, ?, ?, ?, ?)");
        for (int i = 0; i < 2; ++i) {  // the statement is used again
            insert.bind(1, hostile);
            insert.bind(2, 0.1);
            insert.bind(3, std::int64_t{-9007199254740993});
            insert.bind(4, Value());
            constexpr std::array<unsigned char, 3> kBytes{0, 1, 255};
            insert.bind_blob(5, kBytes);
            insert.run();
        }
    }
    Statement query(database, "SELECT * FROM t");
    for (int i = 0; i < 2; ++i) {
        ASSERT_TRUE(query.step());
        EXPECT_EQ(query.text(0), hostile);
        EXPECT_EQ(query.real(1), 0.1);
        EXPECT_EQ(query.integer(2), -9007199254740993);
        EXPECT_TRUE(query.is_null(3));
        EXPECT_FALSE(query.is_null(4));
        EXPECT_EQ(query.text(4), std::string("\0\1\xFF", 3));
    }
    EXPECT_FALSE(query.step());
    query.reset();
    EXPECT_TRUE(query.step());
}

TEST(Sqlite, AnEmptyTextIsNoNull) {
    const TempFolder folder;
    Database database(empty_database(folder));
    database.run("CREATE TABLE t(a)");
    Statement insert(database, "INSERT INTO t VALUES (?)");
    insert.bind(1, std::string());
    insert.run();
    Statement query(database, "SELECT a, typeof(a) FROM t");
    ASSERT_TRUE(query.step());
    EXPECT_FALSE(query.is_null(0));
    EXPECT_EQ(query.text(0), "");
    EXPECT_EQ(query.text(1), "text");
}

TEST(Sqlite, ErrorsCarryTheFileAndWhatSqliteSaid) {
    const TempFolder folder;
    Database database(empty_database(folder));
    testing::expect_error([&] { database.run("CREATE TABLE t(a"); }, Fault::working, {"a.db", "incomplete input"});
    testing::expect_error([&] { Statement(database, "SELECT * FROM missing"); }, Fault::working, {"a.db", "missing"});
    database.run("CREATE TABLE t(a UNIQUE)");
    Statement insert(database, "INSERT INTO t VALUES (1)");
    insert.run();
    testing::expect_error([&] { insert.run(); }, Fault::working, {"a.db", "UNIQUE"});
    testing::expect_error([&] { insert.bind(2, 1.0); }, Fault::working, {"a.db"});
}

TEST(Sqlite, AFileThatIsMissingOrNoDatabaseIsAWorkingError) {
    const TempFolder folder;
    testing::expect_error([&] { Database(folder.path() / "none.db"); }, Fault::working, {"none.db"});
    const std::string path = folder.write("text.db", std::string(2000, 'x'));
    testing::expect_error([&] { Database(path).run("CREATE TABLE t(a)"); }, Fault::working, {"text.db"});
}

TEST(Sqlite, ALockedFileIsAPassingError) {
    const TempFolder folder;
    const std::string path = empty_database(folder);
    Database first(path);
    first.run("CREATE TABLE t(a); BEGIN EXCLUSIVE");
    Database second(path);
    testing::expect_error([&] { second.run("INSERT INTO t VALUES (1)"); }, Fault::passing, {"a.db", "locked"});
    first.run("COMMIT");
    second.run("INSERT INTO t VALUES (1)");
}

TEST(Sqlite, TheSchemaOfTheFileCannotBeWrittenPastSqlite) {
    const TempFolder folder;
    Database database(empty_database(folder));
    database.run("CREATE TABLE t(a)");
    EXPECT_THROW(database.run("PRAGMA writable_schema = ON; UPDATE sqlite_master SET name = 'u'"), Error);
    EXPECT_THROW(database.run("SELECT load_extension('x')"), Error);
}

TEST(Sqlite, ClosingTwiceIsNoTrouble) {
    const TempFolder folder;
    Database database(empty_database(folder));
    database.run("CREATE TABLE t(a)");
    database.close();
    EXPECT_EQ(database.handle(), nullptr);
    database.close();
}

TEST(Sqlite, ClosingUnderAnOpenStatementIsToldAndLaterGoes) {
    const TempFolder folder;
    Database database(empty_database(folder));
    {
        const Statement open(database, "SELECT 1");
        EXPECT_THROW(database.close(), Error);
    }
    database.close();
}

}  // namespace
}  // namespace eaveshed
