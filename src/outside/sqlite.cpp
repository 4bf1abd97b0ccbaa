#include "eaveshed/outside/sqlite.hpp"

#include <sqlite3.h>

#include <cerrno>
#include <cstring>
#include <utility>

#include "eaveshed/core/error.hpp"
#include "eaveshed/outside/sqlite_guard.hpp"
#include "eaveshed/outside/sqlite_input.hpp"
#include "eaveshed/stop/stop.hpp"
#include "eaveshed/words/room.hpp"

namespace eaveshed {

std::string quoted_identifier(const std::string& name) {
    std::string quoted = "\"";
    for (const char letter : name) {
        quoted += letter;
        if (letter == '"') {
            quoted += '"';
        }
    }
    return quoted + '"';
}

namespace {

// What the system said, where SQLite's own code says no more than that a file failed it; 0 for nothing.
int system_refusal(sqlite3* handle, int code) {
    const int kind = code & 0xFF;
    return handle != nullptr && (kind == SQLITE_IOERR || kind == SQLITE_CANTOPEN) ? sqlite3_system_errno(handle) : 0;
}

}  // namespace

Database::Database(const std::filesystem::path& path, DatabaseAccess access) : m_path(path), m_access(access) {
    const bool immutable = access == DatabaseAccess::read_immutable;
    const std::string name = immutable ? immutable_uri(path.string()) : path.string();
    const int flags =
        (access == DatabaseAccess::write ? SQLITE_OPEN_READWRITE : SQLITE_OPEN_READONLY) | SQLITE_OPEN_NOMUTEX;
    if (sqlite3_open_v2(name.c_str(), &m_handle, flags | (immutable ? SQLITE_OPEN_URI : 0), nullptr) != SQLITE_OK) {
        try {
            fail("opening it");
        } catch (const Error&) {
            sqlite3_close_v2(std::exchange(m_handle, nullptr));
            throw;
        }
    }
    int off = 0;
    sqlite3_db_config(m_handle, SQLITE_DBCONFIG_ENABLE_LOAD_EXTENSION, 0, &off);
    sqlite3_db_config(m_handle, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, &off);
    sqlite3_db_config(m_handle, SQLITE_DBCONFIG_DEFENSIVE, 1, &off);
    if (access != DatabaseAccess::write) {
        harden(m_handle);
    }
}

void Database::allow_shadow_tables() {
    int defensive = 0;
    sqlite3_db_config(m_handle, SQLITE_DBCONFIG_DEFENSIVE, 0, &defensive);
}

Database::~Database() {
    sqlite3_close_v2(m_handle);
}

void Database::close() {
    if (sqlite3_close(m_handle) != SQLITE_OK) {
        fail("closing it");
    }
    m_handle = nullptr;
}

void Database::run(const std::string& sql) {
    if (sqlite3_exec(m_handle, sql.c_str(), nullptr, nullptr, nullptr) != SQLITE_OK) {
        fail("writing it");
    }
}

void Database::fail(const std::string& doing) const {
    fail(doing, m_handle != nullptr ? sqlite3_errcode(m_handle) : SQLITE_NOMEM,
         m_handle != nullptr ? sqlite3_errmsg(m_handle) : "out of memory");
}

bool Database::statement_failed() const {
    return blames_statement(m_handle);
}

void Database::fail(const std::string& doing, int code, const std::string& text) const {
    if (code == SQLITE_INTERRUPT) {
        stop_if_requested();
    }
    std::string found = "SQLite said \"" + text + "\" when " + doing;
    const int refusal = system_refusal(m_handle, code);
    if (refusal != 0) {
        found += std::string(": ") + std::strerror(refusal);  // NOLINT(concurrency-mt-unsafe)
    }
    if (code == SQLITE_FULL || refusal == ENOSPC || refusal == EDQUOT) {
        const std::string room = room_text(m_path);
        throw Error(Fault::passing, {m_path.string(), found + (room.empty() ? "" : " (" + room + ")"), "",
                                     "free some room there, then run again"});
    }
    if (code == SQLITE_NOMEM || refusal == EMFILE || refusal == ENFILE || refusal == ENOMEM || refusal == ESTALE) {
        throw Error(Fault::passing, {m_path.string(), found, "", "run again in a while"});
    }
    if (code == SQLITE_BUSY || code == SQLITE_LOCKED) {
        throw Error(Fault::passing, {m_path.string(), found, "", "close the program that uses it, then run again"});
    }
    if (m_access != DatabaseAccess::write) {
        throw working_error(m_path.string(), found, "an undamaged GeoPackage of this program",
                            "restore it from a backup, or screen the basin again");
    }
    throw working_error(m_path.string(), found, "", "check the folder and its disk, then run again");
}

Statement::Statement(Database& database, const std::string& sql) : m_database(&database) {
    if (sqlite3_prepare_v2(database.handle(), sql.c_str(), -1, &m_statement, nullptr) != SQLITE_OK) {
        database.fail("preparing a statement");
    }
}

Statement::~Statement() {
    sqlite3_finalize(m_statement);
}

Statement::Statement(Statement&& other) noexcept
    : m_database(other.m_database), m_statement(std::exchange(other.m_statement, nullptr)) {}

Statement& Statement::operator=(Statement&& other) noexcept {
    std::swap(m_database, other.m_database);
    std::swap(m_statement, other.m_statement);
    return *this;
}

void Statement::bind(int position, const Value& value) {
    int code = SQLITE_OK;
    if (const auto* const text = std::get_if<std::string>(&value)) {
        code = sqlite3_bind_text64(m_statement, position, text->data(), text->size(), SQLITE_TRANSIENT, SQLITE_UTF8);
    } else if (const auto* const real = std::get_if<double>(&value)) {
        code = sqlite3_bind_double(m_statement, position, *real);
    } else if (const auto* const integer = std::get_if<std::int64_t>(&value)) {
        code = sqlite3_bind_int64(m_statement, position, *integer);
    } else {
        code = sqlite3_bind_null(m_statement, position);
    }
    if (code != SQLITE_OK) {
        m_database->fail("binding a value");
    }
}

void Statement::bind_blob(int position, std::span<const unsigned char> bytes) {
    if (sqlite3_bind_blob64(m_statement, position, bytes.data(), bytes.size(), SQLITE_STATIC) != SQLITE_OK) {
        m_database->fail("binding a geometry");
    }
}

bool Statement::step() {
    if (m_database->only_reads()) {
        stop_if_requested();
    }
    const int code = sqlite3_step(m_statement);
    if (code != SQLITE_ROW && code != SQLITE_DONE) {
        m_database->fail("going through its rows");
    }
    return code == SQLITE_ROW;
}

void Statement::reset() {
    sqlite3_reset(m_statement);
}

void Statement::run() {
    step();
    reset();
}

std::int64_t Statement::integer(int column) const {
    return sqlite3_column_int64(m_statement, column);
}
double Statement::real(int column) const {
    return sqlite3_column_double(m_statement, column);
}
bool Statement::is_null(int column) const {
    return sqlite3_column_type(m_statement, column) == SQLITE_NULL;
}

std::span<const unsigned char> Statement::blob(int column) const {
    if (sqlite3_column_type(m_statement, column) != SQLITE_BLOB) {
        return {};
    }
    const auto* const bytes = static_cast<const unsigned char*>(sqlite3_column_blob(m_statement, column));
    return {bytes, static_cast<std::size_t>(sqlite3_column_bytes(m_statement, column))};
}

Value Statement::value(int column) const {
    switch (sqlite3_column_type(m_statement, column)) {
        case SQLITE_INTEGER: return integer(column);
        case SQLITE_FLOAT: return real(column);
        case SQLITE_TEXT: return text(column);
        default: return {};
    }
}

std::span<const unsigned char> Statement::bytes(int column) const {
    const void* const begin = sqlite3_column_blob(m_statement, column);
    return {static_cast<const unsigned char*>(begin),
            static_cast<std::size_t>(sqlite3_column_bytes(m_statement, column))};
}

std::string Statement::text(int column) const {
    const void* const bytes = sqlite3_column_blob(m_statement, column);
    return {static_cast<const char*>(bytes), static_cast<std::size_t>(sqlite3_column_bytes(m_statement, column))};
}

}  // namespace eaveshed
