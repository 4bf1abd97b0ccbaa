#include "eaveshed/package/packed_index.hpp"

#include <gtest/gtest.h>
#include <sqlite3.h>

#include "support/output_file.hpp"
#include "support/random_numbers.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {
namespace {

using testing::OutputFile;
using testing::RandomNumbers;
using testing::TempFolder;

// A file with an empty index.
std::string empty_index(const TempFolder& folder) {
    const std::string path = folder.file("index.db");
    sqlite3* handle = nullptr;
    EXPECT_EQ(sqlite3_open(path.c_str(), &handle), SQLITE_OK);
    EXPECT_EQ(sqlite3_exec(handle, "CREATE VIRTUAL TABLE boxes USING rtree(id, minx, maxx, miny, maxy)", nullptr,
                           nullptr, nullptr),
              SQLITE_OK);
    sqlite3_close(handle);
    return path;
}

struct Placed {
    std::int64_t id = 0;
    Box box;
};

std::vector<Placed> random_boxes(std::size_t count) {
    RandomNumbers random(count);
    std::vector<Placed> boxes;
    for (std::size_t i = 0; i < count; ++i) {
        const double x = random.between(4.8e5, 4.9e5);
        const double y = random.between(4.30e6, 4.31e6);
        boxes.push_back({static_cast<std::int64_t>(3 * i + 1),
                         {x, y, x + random.between(0.0, 40.0), y + random.between(0.0, 40.0)}});
    }
    return boxes;
}

void write(const std::string& path, const std::vector<Placed>& boxes) {
    PackedIndex index;
    for (const Placed& placed : boxes) {
        index.add(placed.id, placed.box);
    }
    index.add(1'000'000'000, Box{});  // a row without a shape
    Database database(path);
    database.allow_shadow_tables();
    database.run("BEGIN");
    index.write(database, "boxes");
    database.run("COMMIT");
}

// SQLite's own check, and every query's answer against a plain loop; at the sizes where a tree gets another level.
TEST(PackedIndex, IsWhatSqliteCallsSoundAndAnswersLikeALoop) {
    for (const std::size_t count : {0U, 1U, 51U, 52U, 103U, 2601U, 2602U, 20000U}) {
        SCOPED_TRACE(count);
        const TempFolder folder;
        const std::string path = empty_index(folder);
        const std::vector<Placed> boxes = random_boxes(count);
        write(path, boxes);
        const OutputFile file(path);
        EXPECT_EQ(file.text("SELECT rtreecheck('boxes')"), "ok");
        EXPECT_EQ(file.count("SELECT COUNT(*) FROM boxes"), static_cast<std::int64_t>(count));
        RandomNumbers random(7);
        for (int query = 0; query < 20; ++query) {
            const double x = random.between(4.8e5, 4.9e5);
            const double y = random.between(4.30e6, 4.31e6);
            const Box around{x, y, x + random.between(0.0, 3000.0), y + random.between(0.0, 3000.0)};
            std::int64_t expected = 0;
            for (const Placed& placed : boxes) {
                expected += placed.box.intersects(around) ? 1 : 0;
            }
            const auto number = [](double value) { return std::to_string(value); };
            // Single precision is 0.5 m at these northings: the index may give some more, never fewer.
            const std::int64_t found =
                file.count("SELECT COUNT(*) FROM boxes WHERE minx <= " + number(around.x_max) +
                           " AND maxx >= " + number(around.x_min) + " AND miny <= " + number(around.y_max) +
                           " AND maxy >= " + number(around.y_min));
            EXPECT_GE(found, expected);
            EXPECT_LE(found, expected + 10 + expected / 50);
        }
    }
}

// What SQLite does to the file later, it can do: rows go and come.
TEST(PackedIndex, TakesLaterChanges) {
    const TempFolder folder;
    const std::string path = empty_index(folder);
    write(path, random_boxes(5000));
    sqlite3* handle = nullptr;
    ASSERT_EQ(sqlite3_open(path.c_str(), &handle), SQLITE_OK);
    EXPECT_EQ(sqlite3_exec(handle,
                           "DELETE FROM boxes WHERE id % 2 = 0;"
                           "INSERT INTO boxes SELECT id + 1, minx, maxx, miny, maxy FROM boxes",
                           nullptr, nullptr, nullptr),
              SQLITE_OK);
    sqlite3_close(handle);
    const OutputFile file(path);
    EXPECT_EQ(file.text("SELECT rtreecheck('boxes')"), "ok");
    EXPECT_EQ(file.count("SELECT COUNT(*) FROM boxes"), 5000);
}

TEST(PackedIndex, HasTheSameBytesForTheSameRows) {
    std::string first;
    for (int i = 0; i < 2; ++i) {
        const TempFolder folder;
        const std::string path = empty_index(folder);
        write(path, random_boxes(500));
        const std::string nodes =
            OutputFile(path).text("SELECT group_concat(hex(data)) FROM (SELECT data FROM boxes_node ORDER BY nodeno)");
        first = i == 0 ? nodes : first;
        EXPECT_EQ(nodes, first);
    }
}

}  // namespace
}  // namespace eaveshed
