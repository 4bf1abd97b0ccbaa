// A hand-made file that passes for a result of this program.
#pragma once

#include <sqlite3.h>

#include <string>
#include <vector>

#include "support/edit_file.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed::testing {

// The least file that passes for one of ours; tests add to it.
inline std::string little_result(const TempFolder& folder, const std::vector<std::string>& more = {}) {
    const std::string path = folder.file("result.gpkg");
    {
        sqlite3* handle = nullptr;
        sqlite3_open(path.c_str(), &handle);
        sqlite3_exec(handle, "CREATE TABLE run_record (fid INTEGER PRIMARY KEY, key TEXT, value TEXT)", nullptr,
                     nullptr, nullptr);
        sqlite3_close(handle);
    }
    std::vector<std::string> statements{
        "PRAGMA application_id = 1196444487",
        "INSERT INTO run_record (key, value) VALUES ('program.name', 'eaveshed'), ('setting.a', '1')",
        "CREATE TABLE roofs (fid INTEGER PRIMARY KEY, geom BLOB, \"roof_id\" TEXT, \"odd \"\"name\" REAL)",
        "INSERT INTO roofs VALUES (1, x'00', 'A', 1.5), (2, NULL, 'B', NULL), (3, x'00', 'A', 2)"};
    statements.insert(statements.end(), more.begin(), more.end());
    edit_file(path, statements);
    return path;
}

}  // namespace eaveshed::testing
