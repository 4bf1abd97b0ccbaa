// A GeoPackage is an SQLite file: looked at before GDAL opens it, and kept from running away or changing under it.
//
// What GDAL 3.6 does to an input that was left in write-ahead mode is undone here: opened read-only it writes the log
// into the main file when it closes, and in a folder without write permission it silently leaves the log's rows out.
#pragma once

#include <chrono>
#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"

struct sqlite3;

namespace eaveshed {

// Whether the file begins like an SQLite database. False for a file that cannot be read.
[[nodiscard]] bool is_sqlite(const std::string& path);

// The path as a "file:" name in which every byte stands for itself, read as if on a read-only medium.
[[nodiscard]] std::string immutable_uri(const std::string& path);

// A look at one SQLite file. To live as long as GDAL has the file open. Not thread-safe.
class SqliteInput {
public:
    // Throws: damaged, an unfinished journal, a standard table that is a view: input errors; locked by another program
    // for `patience`: a passing error. Notes a write-ahead log that is read along, warns of one that may be missing.
    SqliteInput(const std::string& where, const std::string& path, Findings& findings,
                std::chrono::milliseconds patience = std::chrono::seconds{5});
    ~SqliteInput();
    SqliteInput(SqliteInput&& other) noexcept;
    SqliteInput& operator=(SqliteInput&& other) noexcept;

    // The file is in write-ahead mode and nobody has it open: it may be read as if on a read-only medium.
    [[nodiscard]] bool immutable() const { return m_immutable; }
    // Names of views, which run the file's own statements when they are read.
    [[nodiscard]] const std::vector<std::string>& views() const { return m_views; }
    [[nodiscard]] bool is_view(const std::string& name) const;

private:
    struct Close {
        void operator()(sqlite3* handle) const noexcept;
    };
    std::unique_ptr<sqlite3, Close> m_handle;  // held open: the last to close a file would write its log back
    bool m_immutable = false;
    std::vector<std::string> m_views;
};

}  // namespace eaveshed
