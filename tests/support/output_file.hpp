// A finished GeoPackage as tests see it: plain SQLite, no library of our own in between.
#pragma once

#include <sqlite3.h>
#include <sys/wait.h>

#include <array>
#include <cstdint>
#include <cstdio>
#include <fstream>
#include <iterator>
#include <map>
#include <optional>
#include <stdexcept>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "eaveshed/record/values.hpp"

namespace eaveshed::testing {

// A row by column name. Blobs come as text of their bytes.
using OutputRow = std::map<std::string, Value>;

class OutputFile {
public:
    explicit OutputFile(const std::string& path) {
        if (sqlite3_open_v2(path.c_str(), &m_handle, SQLITE_OPEN_READONLY, nullptr) != SQLITE_OK) {
            sqlite3_close(m_handle);
            throw std::runtime_error("no output at " + path);
        }
    }
    ~OutputFile() { sqlite3_close(m_handle); }
    OutputFile(const OutputFile&) = delete;
    OutputFile& operator=(const OutputFile&) = delete;

    [[nodiscard]] std::vector<OutputRow> rows(const std::string& sql) const {
        sqlite3_stmt* statement = nullptr;
        if (sqlite3_prepare_v2(m_handle, sql.c_str(), -1, &statement, nullptr) != SQLITE_OK) {
            throw std::runtime_error(sql + ": " + sqlite3_errmsg(m_handle));
        }
        std::vector<OutputRow> rows;
        while (sqlite3_step(statement) == SQLITE_ROW) {
            OutputRow& row = rows.emplace_back();
            for (int i = 0; i < sqlite3_column_count(statement); ++i) {
                row.emplace(sqlite3_column_name(statement, i), value_of(statement, i));
            }
        }
        sqlite3_finalize(statement);
        return rows;
    }
    // The first column of the first row, as text: "" for null or no row.
    [[nodiscard]] std::string text(const std::string& sql) const {
        const auto found = rows("SELECT CAST((" + sql + ") AS TEXT) AS v");
        const auto* const value = std::get_if<std::string>(&found.at(0).at("v"));
        return value != nullptr ? *value : "";
    }
    [[nodiscard]] std::int64_t count(const std::string& sql) const { return std::stoll("0" + text(sql)); }
    [[nodiscard]] std::string record(const std::string& key) const {
        return text("SELECT value FROM run_record WHERE key = '" + key + "'");
    }

private:
    static Value value_of(sqlite3_stmt* statement, int column) {
        switch (sqlite3_column_type(statement, column)) {
            case SQLITE_NULL: return {};
            case SQLITE_INTEGER: return static_cast<std::int64_t>(sqlite3_column_int64(statement, column));
            case SQLITE_FLOAT: return sqlite3_column_double(statement, column);
            default: break;
        }
        const auto* const bytes = static_cast<const char*>(sqlite3_column_blob(statement, column));
        return std::string(bytes, static_cast<std::size_t>(sqlite3_column_bytes(statement, column)));
    }
    sqlite3* m_handle = nullptr;
};

// None for a null.
inline std::optional<double> number(const OutputRow& row, const std::string& column) {
    const Value& value = row.at(column);
    if (const auto* const real = std::get_if<double>(&value)) {
        return *real;
    }
    if (const auto* const whole = std::get_if<std::int64_t>(&value)) {
        return static_cast<double>(*whole);
    }
    return std::nullopt;
}

inline std::string text(const OutputRow& row, const std::string& column) {
    const auto* const value = std::get_if<std::string>(&row.at(column));
    return value != nullptr ? *value : "";
}

inline std::map<std::string, OutputRow> by_roof(const std::vector<OutputRow>& rows) {
    std::map<std::string, OutputRow> found;
    for (const OutputRow& row : rows) {
        found.emplace(text(row, "roof_id"), row);
    }
    return found;
}

inline std::string bytes_of(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

// What a command of the system says on both channels, and its exit code; paths have no quotes in them.
inline std::pair<int, std::string> said(const std::string& command) {
    std::FILE* const pipe = popen((command + " 2>&1").c_str(), "r");  // NOLINT(cert-env33-c)
    if (pipe == nullptr) {
        return {-1, "no shell"};
    }
    std::string out;
    std::array<char, 4096> buffer{};
    while (std::fgets(buffer.data(), static_cast<int>(buffer.size()), pipe) != nullptr) {
        out += buffer.data();
    }
    const int status = pclose(pipe);
    return {WIFEXITED(status) ? WEXITSTATUS(status) : -1, out};
}

}  // namespace eaveshed::testing
