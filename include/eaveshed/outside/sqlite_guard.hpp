// SQLite made small for files that anyone may have made: what a statement may cost, how long it may run, what it may
// touch.
#pragma once

#include <chrono>
#include <cstdint>
#include <string>
#include <string_view>

struct sqlite3;

namespace eaveshed {

// The largest value that is read from a stranger's database; a shape is one value.
inline constexpr int kLargestSqliteValue = 256 << 20;

// No triggers, no extensions, no trust in functions that the file names, no text in double quotes for a name that does
// not exist, and limits far below SQLite's own (https://www.sqlite.org/security.html, "Untrusted SQL inputs"), as high
// as true layers need.
void harden(sqlite3* handle);

// Whether the handle's last failure lies in the statement or the values that it met, and not in the file.
[[nodiscard]] bool blames_statement(sqlite3* handle);
[[nodiscard]] std::string last_words(sqlite3* handle);  // what it said of it

// Hardens a handle, and limits how long a statement may run between two calls of restart(). A requested stop
// (stop/stop.hpp) ends it as well. To be destroyed before the handle is closed.
class SqliteWatch {
public:
    SqliteWatch(sqlite3* handle, std::chrono::milliseconds longest);
    ~SqliteWatch();
    SqliteWatch(const SqliteWatch&) = delete;
    SqliteWatch& operator=(const SqliteWatch&) = delete;

    void restart();
    [[nodiscard]] bool expired() const { return m_expired; }
    [[nodiscard]] std::chrono::milliseconds longest() const { return m_longest; }

private:
    static int on_progress(void* self);

    sqlite3* m_handle;
    std::chrono::milliseconds m_longest;
    std::chrono::steady_clock::time_point m_deadline;
    bool m_expired = false;
};

// While it lives no statement can be prepared but such as read. To be destroyed before the handle is closed.
class SqliteReadsOnly {
public:
    enum class Whose : std::uint8_t {
        condition,  // what a user wrote: reads `table` alone, by condition_functions() (words/condition.hpp)
        library,    // GDAL's own statements: any table, no recursion
        view,       // the same of a view that was named, with what that says itself
    };
    SqliteReadsOnly(sqlite3* handle, Whose whose, const std::string& table = {});
    ~SqliteReadsOnly();
    SqliteReadsOnly(const SqliteReadsOnly&) = delete;
    SqliteReadsOnly& operator=(const SqliteReadsOnly&) = delete;

private:
    static int on_action(void* self, int action, const char* first, const char* second, const char* database,
                         const char* inside);
    [[nodiscard]] bool allows(int action, std::string_view first, std::string_view second) const;

    sqlite3* m_handle;
    Whose m_whose;
    std::string m_table;
};

}  // namespace eaveshed
