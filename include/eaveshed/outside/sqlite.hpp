// SQLite with errors as errors. Names from data never become part of a statement; values are bound.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <span>
#include <string>
#include <vector>

#include "eaveshed/record/values.hpp"

struct sqlite3;
struct sqlite3_stmt;

namespace eaveshed {

// "a""b" for the identifier a"b.
[[nodiscard]] std::string quoted_identifier(const std::string& name);

class Database;

// A prepared statement. Binding positions count from 1.
class Statement {
public:
    Statement(Database& database, const std::string& sql);
    ~Statement();
    Statement(Statement&& other) noexcept;
    Statement& operator=(Statement&& other) noexcept;
    Statement(const Statement&) = delete;
    Statement& operator=(const Statement&) = delete;

    void bind(int position, const Value& value);
    void bind_blob(int position, std::span<const unsigned char> bytes);  // bytes must outlive the step
    // Runs the statement once and makes it ready for the next.
    void run();
    // True while there is a row. Of a file that is only read: a requested stop is Stopped.
    bool step();
    void reset();
    [[nodiscard]] std::int64_t integer(int column) const;
    [[nodiscard]] double real(int column) const;
    [[nodiscard]] std::string text(int column) const;
    [[nodiscard]] bool is_null(int column) const;
    // Of a blob: null.
    [[nodiscard]] Value value(int column) const;
    // Of anything else: empty. Until the next step.
    [[nodiscard]] std::span<const unsigned char> blob(int column) const;
    // Of a blob or a text, until the next step.
    [[nodiscard]] std::span<const unsigned char> bytes(int column) const;

private:
    Database* m_database;
    sqlite3_stmt* m_statement = nullptr;
};

// Write: by us alone. Read: a file that anyone may have made; `immutable` as if on a read-only medium.
enum class DatabaseAccess : std::uint8_t { write, read, read_immutable };

// An existing database file: defensive, no extensions, no trusted schema; one that is only read is hardened
// (sqlite_guard.hpp). One thread at a time uses it.
class Database {
public:
    explicit Database(const std::filesystem::path& path, DatabaseAccess access = DatabaseAccess::write);
    ~Database();
    Database(const Database&) = delete;
    Database& operator=(const Database&) = delete;

    void run(const std::string& sql);
    // Lets statements write the tables in which virtual tables keep their data: for a draft of our own alone.
    void allow_shadow_tables();
    void close();  // with the errors that closing may bring
    [[nodiscard]] sqlite3* handle() const { return m_handle; }
    [[nodiscard]] bool only_reads() const { return m_access != DatabaseAccess::write; }
    // Throws: no room or a lock is a passing error, anything else a working error with SQLite's text.
    // A statement that a requested stop ended: Stopped.
    [[noreturn]] void fail(const std::string& doing) const;
    // Whether the last failure lies in the statement or its values, and not in the file.
    [[nodiscard]] bool statement_failed() const;

private:
    [[noreturn]] void fail(const std::string& doing, int code, const std::string& text) const;

    std::filesystem::path m_path;
    DatabaseAccess m_access;
    sqlite3* m_handle = nullptr;
};

}  // namespace eaveshed
