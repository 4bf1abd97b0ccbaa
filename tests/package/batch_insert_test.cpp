#include "eaveshed/package/batch_insert.hpp"

#include <gtest/gtest.h>
#include <sqlite3.h>

#include "support/output_file.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

constexpr const char* kTables =
    "CREATE TABLE shapes (fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL, geom BLOB, name TEXT, size REAL, n INTEGER);"
    "CREATE TABLE notes (fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL, words TEXT)";

std::string empty_tables(const testing::TempFolder& folder, const std::string& name) {
    const std::string path = folder.file(name);
    sqlite3* handle = nullptr;
    EXPECT_EQ(sqlite3_open(path.c_str(), &handle), SQLITE_OK);
    EXPECT_EQ(sqlite3_exec(handle, kTables, nullptr, nullptr, nullptr), SQLITE_OK);
    sqlite3_close(handle);
    return path;
}

// Rows of two layers by turns, now and then without a shape, a name or a number.
RowBatch mixed_rows(std::size_t count) {
    RowBatch batch;
    for (std::size_t i = 0; i < count; ++i) {
        if (i % 3 == 2) {
            batch.begin(1);
            batch.put(std::string_view("it's \"" + std::to_string(i) + "\""));
            continue;
        }
        batch.begin(0);
        const std::string name = "shape " + std::to_string(i);
        batch.put(i % 4 == 0 ? ValueView() : ValueView(std::string_view(name)));
        batch.put(0.1 * static_cast<double>(i));
        batch.put(i % 5 == 0 ? ValueView() : ValueView(static_cast<std::int64_t>(i)));
        if (i % 7 != 0) {
            batch.put_geometry(std::vector<unsigned char>(i % 60 + 1, static_cast<unsigned char>(i)), {0, 0, 1, 1});
        }
    }
    return batch;
}

// The plain twin: one statement a row.
void insert_one_by_one(Database& database, const RowBatch& batch) {
    Statement shape(database, "INSERT INTO shapes (geom, name, size, n) VALUES (?, ?, ?, ?)");
    Statement note(database, "INSERT INTO notes (words) VALUES (?)");
    for (std::size_t i = 0; i < batch.size(); ++i) {
        const RowBatch::Row row = batch.row(i);
        Statement& statement = row.layer == 0 ? shape : note;
        int position = 1;
        if (row.layer == 0) {
            if (row.geometry.empty()) {
                statement.bind(position, Value());
            } else {
                statement.bind_blob(position, row.geometry);
            }
            ++position;
        }
        for (const ValueView& value : row.values) {
            statement.bind(position++, value_of(value));
        }
        statement.run();
    }
}

TEST(BatchInsert, GivesTheSameTablesAsOneStatementARow) {
    const testing::TempFolder folder;
    const std::string plain = empty_tables(folder, "plain.db");
    const std::string batched = empty_tables(folder, "batched.db");
    Database by_rows(plain);
    Database by_batches(batched);
    {
        std::vector<BatchInsert> inserts;
        inserts.emplace_back(by_batches, 0, "shapes", "geom", std::vector<std::string>{"name", "size", "n"});
        inserts.emplace_back(by_batches, 1, "notes", "", std::vector<std::string>{"words"});
        for (const std::size_t count : {1U, 2U, 500U}) {
            const RowBatch batch = mixed_rows(count);
            insert_one_by_one(by_rows, batch);
            for (std::size_t layer = 0; layer < 2; ++layer) {
                std::vector<std::size_t> positions;
                for (std::size_t i = 0; i < batch.size(); ++i) {
                    if (batch.row(i).layer == layer) {
                        positions.push_back(i);
                    }
                }
                inserts[layer].run(batch, positions);
            }
        }
    }
    by_rows.close();
    by_batches.close();
    for (const char* const query :
         {"SELECT group_concat(fid || ifnull(hex(geom), '-') || ifnull(name, '-') || size || ifnull(n, '-')) "
          "FROM shapes",
          "SELECT group_concat(fid || words) FROM notes", "SELECT count(*) FROM shapes"}) {
        EXPECT_EQ(testing::OutputFile(batched).text(query), testing::OutputFile(plain).text(query));
    }
    EXPECT_EQ(testing::OutputFile(plain).text("SELECT count(*) FROM shapes"), "337");
}

TEST(BatchInsert, ARowWithTooFewValuesIsADefect) {
    const testing::TempFolder folder;
    Database database(empty_tables(folder, "a.db"));
    BatchInsert insert(database, 0, "notes", "", {"words"});
    RowBatch batch;
    batch.begin(0);
    const std::vector<std::size_t> first{0};
    EXPECT_ANY_THROW(insert.run(batch, first));
}

}  // namespace
}  // namespace eaveshed
