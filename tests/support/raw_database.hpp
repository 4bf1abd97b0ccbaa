// An SQLite database as any program could make one.
#pragma once

#include <string>

#include <gtest/gtest.h>
#include <sqlite3.h>

namespace eaveshed::testing {

// A database that is open for writing.
class RawDatabase {
public:
    explicit RawDatabase(const std::string& path) { EXPECT_EQ(sqlite3_open(path.c_str(), &m_handle), SQLITE_OK); }
    ~RawDatabase() { sqlite3_close(m_handle); }
    RawDatabase(const RawDatabase&) = delete;
    RawDatabase& operator=(const RawDatabase&) = delete;

    void run(const std::string& sql) {
        char* said = nullptr;
        EXPECT_EQ(sqlite3_exec(m_handle, sql.c_str(), nullptr, nullptr, &said), SQLITE_OK) << sql << ": " << said;
        sqlite3_free(said);
    }
    [[nodiscard]] sqlite3* handle() const { return m_handle; }

private:
    sqlite3* m_handle = nullptr;
};

}  // namespace eaveshed::testing
