#include "eaveshed/io/sqlite.hpp"

#include <sqlite3.h>

#include <utility>

#include "eaveshed/core/error.hpp"

namespace eaveshed::io {

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

Database::Database(const std::filesystem::path& path) : m_path(path) {
    if (sqlite3_open_v2(path.c_str(), &m_handle, SQLITE_OPEN_READWRITE, nullptr) != SQLITE_OK) {
        fail("opening it");
    }
    int off = 0;
    sqlite3_db_config(m_handle, SQLITE_DBCONFIG_ENABLE_LOAD_EXTENSION, 0, &off);
    sqlite3_db_config(m_handle, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, &off);
    sqlite3_db_config(m_handle, SQLITE_DBCONFIG_DEFENSIVE, 1, &off);
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
    const int code = m_handle != nullptr ? sqlite3_errcode(m_handle) : SQLITE_NOMEM;
    const std::string text = m_handle != nullptr ? sqlite3_errmsg(m_handle) : "out of memory";
    const std::string found = "SQLite said \"" + text + "\" when " + doing;
    if (code == SQLITE_FULL || code == SQLITE_BUSY || code == SQLITE_LOCKED) {
        throw Error(Fault::passing, {m_path.string(), found, "", "free some room there, then run again"});
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
    const int code = sqlite3_step(m_statement);
    if (code != SQLITE_ROW && code != SQLITE_DONE) {
        m_database->fail("writing a row");
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

std::string Statement::text(int column) const {
    const void* const bytes = sqlite3_column_blob(m_statement, column);
    return {static_cast<const char*>(bytes), static_cast<std::size_t>(sqlite3_column_bytes(m_statement, column))};
}

}  // namespace eaveshed::io
