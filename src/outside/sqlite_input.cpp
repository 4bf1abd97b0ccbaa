#include "eaveshed/outside/sqlite_input.hpp"

#include <algorithm>
#include <array>
#include <filesystem>
#include <fstream>
#include <string_view>
#include <thread>

#include <fmt/format.h>
#include <sqlite3.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/outside/sqlite_guard.hpp"
#include "eaveshed/stop/stop.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

namespace fs = std::filesystem;
using Moment = std::chrono::steady_clock::time_point;

// The file header: https://www.sqlite.org/fileformat2.html, section 1.3.
constexpr std::string_view kMagic{"SQLite format 3\0", 16};
constexpr std::size_t kHeaderBytes = 20;
constexpr std::size_t kReadVersionAt = 19;  // 2: write-ahead mode

std::string header_of(const std::string& path) {
    std::string header(kHeaderBytes, '\0');
    std::ifstream file(path, std::ios::binary);
    file.read(header.data(), static_cast<std::streamsize>(header.size()));
    header.resize(static_cast<std::size_t>(file.gcount()));
    return header;
}

bool exists(const std::string& path) {
    std::error_code fault;
    return fs::exists(path, fault);
}

// SQLite's question whether to try a locked file again, until the moment that `until` points to or a requested stop.
int wait_a_little(void* until, int /*tries*/) {
    constexpr std::chrono::milliseconds kBetweenTries{20};
    if (requested_stop() != 0 || std::chrono::steady_clock::now() > *static_cast<Moment*>(until)) {
        return 0;
    }
    std::this_thread::sleep_for(kBetweenTries);
    return 1;
}

[[noreturn]] void report(const std::string& where, const std::string& path, int code, const std::string& said) {
    stop_if_requested();
    const int kind = code & 0xFF;
    const std::string found = "a database that cannot be read: " + printable(said);
    if (kind == SQLITE_BUSY || kind == SQLITE_LOCKED) {
        throw Error(Fault::passing, {where, "a file locked by another program", "a file nobody writes to",
                                     "close the program that edits it and run again"});
    }
    const bool journal = exists(path + "-journal");
    const bool log = exists(path + "-wal");
    if ((kind == SQLITE_READONLY || kind == SQLITE_CANTOPEN) && (journal || log)) {
        throw input_error(
            where,
            fmt::format("'{}{}' beside it, left by an interrupted write ({})",
                        printable(fs::path(path).filename().string()), journal ? "-journal" : "-wal", printable(said)),
            "a finished file",
            "open it once for writing with any SQLite tool, which completes or undoes that write; or copy "
            "all its parts together to a folder that you may write to");
    }
    if (kind == SQLITE_CORRUPT || kind == SQLITE_NOTADB) {
        throw input_error(where, found, "an undamaged GeoPackage",
                          "restore it from a backup, or try '.recover' of the sqlite3 shell");
    }
    throw input_error(where, found, "a readable GeoPackage", "check the file, its folder and their permissions");
}

struct Finish {
    void operator()(sqlite3_stmt* statement) const noexcept { sqlite3_finalize(statement); }
};

// SQLite's own names of a file's views. Throws as report() says.
std::vector<std::string> view_names(sqlite3* handle, const std::string& where, const std::string& path) {
    sqlite3_stmt* raw = nullptr;
    int code = sqlite3_prepare_v2(handle, "SELECT name FROM sqlite_master WHERE type = 'view' ORDER BY name", -1, &raw,
                                  nullptr);
    const std::unique_ptr<sqlite3_stmt, Finish> statement(raw);
    std::vector<std::string> names;
    while (code == SQLITE_OK || code == SQLITE_ROW) {
        code = sqlite3_step(raw);
        if (code == SQLITE_ROW) {
            const unsigned char* const text = sqlite3_column_text(raw, 0);
            names.emplace_back(text == nullptr ? std::string()
                                               : std::string(text, text + sqlite3_column_bytes(raw, 0)));
        }
    }
    if (code != SQLITE_DONE) {
        report(where, path, code, sqlite3_errmsg(handle));
    }
    return names;
}

// The standard's own tables are read by every opener: as views they would run whatever the file says.
void refuse_disguised_tables(const std::vector<std::string>& views, const std::string& where) {
    for (const std::string& view : views) {
        const std::string name = lower_case(view);
        if (name.rfind("gpkg_", 0) == 0 || name.rfind("rtree_", 0) == 0) {
            throw input_error(where, fmt::format("the standard table '{}' as a view", printable(view)),
                              "a GeoPackage with the tables of the standard", "copy its layers into a new GeoPackage");
        }
    }
}

}  // namespace

std::string immutable_uri(const std::string& path) {
    std::string uri = "file:";
    for (const char c : fs::absolute(path).string()) {
        if (c == '%' || c == '?' || c == '#') {
            uri += fmt::format("%{:02X}", static_cast<unsigned>(c));
        } else {
            uri += c;
        }
    }
    return uri + "?immutable=1";
}

bool is_sqlite(const std::string& path) {
    return header_of(path).substr(0, kMagic.size()) == kMagic;
}

void SqliteInput::Close::operator()(sqlite3* handle) const noexcept {
    sqlite3_close_v2(handle);
}

SqliteInput::SqliteInput(const std::string& where, const std::string& path, Findings& findings,
                         std::chrono::milliseconds patience) {
    const std::string header = header_of(path);
    const bool write_ahead = header.size() == kHeaderBytes && header[kReadVersionAt] == 2;
    const bool log = exists(path + "-wal");
    m_immutable = write_ahead && !log;
    const std::string name = m_immutable ? immutable_uri(path) : path;
    sqlite3* raw = nullptr;
    const int flags =
        SQLITE_OPEN_READONLY | SQLITE_OPEN_NOMUTEX | SQLITE_OPEN_PRIVATECACHE | (m_immutable ? SQLITE_OPEN_URI : 0);
    const int code = sqlite3_open_v2(name.c_str(), &raw, flags, nullptr);
    m_handle.reset(raw);
    if (code != SQLITE_OK) {
        report(where, path, code, raw == nullptr ? sqlite3_errstr(code) : sqlite3_errmsg(raw));
    }
    harden(raw);
    Moment until = std::chrono::steady_clock::now() + patience;
    sqlite3_busy_handler(raw, wait_a_little, &until);
    m_views = view_names(raw, where, path);
    sqlite3_busy_handler(raw, nullptr, nullptr);
    refuse_disguised_tables(m_views, where);
    if (m_immutable) {
        findings.warn({where, "a database in write-ahead mode without its '-wal' part", "",
                       "recent edits may be missing if it was copied alone: copy all its parts together"});
    } else if (write_ahead) {
        findings.note({where, "a write-ahead log ('-wal') beside it, which is read with it", "",
                       "close the program that edits it, so that the file is complete in itself"});
    }
}

SqliteInput::~SqliteInput() = default;
SqliteInput::SqliteInput(SqliteInput&&) noexcept = default;
SqliteInput& SqliteInput::operator=(SqliteInput&&) noexcept = default;

bool SqliteInput::is_view(const std::string& name) const {
    const std::string wanted = lower_case(name);
    return std::any_of(m_views.begin(), m_views.end(),
                       [&wanted](const std::string& view) { return lower_case(view) == wanted; });
}

}  // namespace eaveshed
