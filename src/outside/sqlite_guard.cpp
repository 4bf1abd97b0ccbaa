#include "eaveshed/outside/sqlite_guard.hpp"

#include <sqlite3.h>

#include <algorithm>
#include <array>
#include <utility>

#include "eaveshed/stop/stop.hpp"
#include "eaveshed/words/condition.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr int kStepsBetweenLooks = 10000;  // of SQLite's virtual machine, about a millisecond

struct Limit {
    int which;
    int most;
};
constexpr std::array kLimits{
    Limit{SQLITE_LIMIT_LENGTH, kLargestSqliteValue},
    Limit{SQLITE_LIMIT_SQL_LENGTH, 1'000'000},  // a table of 2,000 columns says so in 100,000
    Limit{SQLITE_LIMIT_EXPR_DEPTH, 500},        // "a OR b OR ..." counts each
    Limit{SQLITE_LIMIT_COMPOUND_SELECT, 50},
    Limit{SQLITE_LIMIT_VDBE_OP, 100'000},
    Limit{SQLITE_LIMIT_FUNCTION_ARG, 100},
    Limit{SQLITE_LIMIT_ATTACHED, 0},
    Limit{SQLITE_LIMIT_LIKE_PATTERN_LENGTH, 1'000},
    Limit{SQLITE_LIMIT_VARIABLE_NUMBER, 1'000},
    Limit{SQLITE_LIMIT_TRIGGER_DEPTH, 1},
    Limit{SQLITE_LIMIT_WORKER_THREADS, 0},
};

std::string_view text_or_empty(const char* text) {
    return text == nullptr ? std::string_view() : std::string_view(text);
}

bool is_condition_function(std::string_view name) {
    return std::ranges::find(condition_functions(), lower_case(name)) != condition_functions().end();
}

// What GDAL's own statements count with, and its functions of shapes.
bool is_library_function(std::string_view name) {
    constexpr std::array<std::string_view, 3> kCounting{"count", "sum", "total"};
    const std::string lower = lower_case(name);
    return lower.starts_with("st_") || std::ranges::find(kCounting, lower) != kCounting.end();
}

}  // namespace

void harden(sqlite3* handle) {
    constexpr std::array<std::pair<int, int>, 6> kSwitches{{{SQLITE_DBCONFIG_DEFENSIVE, 1},
                                                            {SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0},
                                                            {SQLITE_DBCONFIG_ENABLE_TRIGGER, 0},
                                                            {SQLITE_DBCONFIG_ENABLE_LOAD_EXTENSION, 0},
                                                            {SQLITE_DBCONFIG_DQS_DML, 0},
                                                            {SQLITE_DBCONFIG_DQS_DDL, 0}}};
    for (const auto& [which, on] : kSwitches) {
        sqlite3_db_config(handle, which, on, nullptr);
    }
    for (const Limit& limit : kLimits) {
        sqlite3_limit(handle, limit.which, limit.most);
    }
}

bool blames_statement(sqlite3* handle) {
    switch (sqlite3_errcode(handle) & 0xFF) {
        case SQLITE_ERROR:
        case SQLITE_AUTH:
        case SQLITE_TOOBIG:
        case SQLITE_MISMATCH:
        case SQLITE_RANGE:
        case SQLITE_INTERRUPT: return true;
        default: return false;
    }
}

std::string last_words(sqlite3* handle) {
    return sqlite3_errmsg(handle);
}

SqliteWatch::SqliteWatch(sqlite3* handle, std::chrono::milliseconds longest) : m_handle(handle), m_longest(longest) {
    harden(handle);
    restart();
    sqlite3_progress_handler(handle, kStepsBetweenLooks, on_progress, this);
}

SqliteWatch::~SqliteWatch() {
    sqlite3_progress_handler(m_handle, 0, nullptr, nullptr);
}

void SqliteWatch::restart() {
    m_expired = false;
    m_deadline = std::chrono::steady_clock::now() + m_longest;
}

int SqliteWatch::on_progress(void* self) {
    auto& watch = *static_cast<SqliteWatch*>(self);
    watch.m_expired = watch.m_expired || std::chrono::steady_clock::now() > watch.m_deadline;
    return watch.m_expired || requested_stop() != 0 ? 1 : 0;
}

SqliteReadsOnly::SqliteReadsOnly(sqlite3* handle, Whose whose, const std::string& table)
    : m_handle(handle), m_whose(whose), m_table(lower_case(table)) {
    sqlite3_set_authorizer(handle, on_action, this);
}

SqliteReadsOnly::~SqliteReadsOnly() {
    sqlite3_set_authorizer(m_handle, nullptr, nullptr);
}

int SqliteReadsOnly::on_action(void* self, int action, const char* first, const char* second, const char* /*database*/,
                               const char* /*inside*/) {
    const auto& guard = *static_cast<SqliteReadsOnly*>(self);
    return guard.allows(action, text_or_empty(first), text_or_empty(second)) ? SQLITE_OK : SQLITE_DENY;
}

bool SqliteReadsOnly::allows(int action, std::string_view first, std::string_view second) const {
    const bool condition = m_whose == Whose::condition;
    const bool view = m_whose == Whose::view;
    switch (action) {
        case SQLITE_SELECT: return true;
        case SQLITE_READ: return !condition || lower_case(first) == m_table;
        case SQLITE_FUNCTION:
            return view || is_condition_function(second) || (!condition && is_library_function(second));
        case SQLITE_RECURSIVE: return view;
        case SQLITE_PRAGMA:
        case SQLITE_TRANSACTION:
        case SQLITE_SAVEPOINT: return !condition;
        default: return false;
    }
}

}  // namespace eaveshed
