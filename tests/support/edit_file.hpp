// Changes to a finished GeoPackage, as somebody might make them by hand.
#pragma once

#include <sqlite3.h>

#include <stdexcept>
#include <string>
#include <vector>

#include "support/output_file.hpp"

namespace eaveshed::testing {

// Runs the statements; the spatial index' triggers, which need functions that plain SQLite lacks, are taken out first.
inline void edit_file(const std::string& path, const std::vector<std::string>& statements) {
    std::vector<std::string> all;
    for (const OutputRow& row : OutputFile(path).rows("SELECT name FROM sqlite_master WHERE type = 'trigger'")) {
        all.push_back("DROP TRIGGER \"" + text(row, "name") + '"');
    }
    all.insert(all.end(), statements.begin(), statements.end());
    sqlite3* handle = nullptr;
    sqlite3_open_v2(path.c_str(), &handle, SQLITE_OPEN_READWRITE, nullptr);
    for (const std::string& statement : all) {
        if (sqlite3_exec(handle, statement.c_str(), nullptr, nullptr, nullptr) != SQLITE_OK) {
            const std::string said = sqlite3_errmsg(handle);
            sqlite3_close(handle);
            throw std::runtime_error(statement + ": " + said);
        }
    }
    sqlite3_close(handle);
}

}  // namespace eaveshed::testing
