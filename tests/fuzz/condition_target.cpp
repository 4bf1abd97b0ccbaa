// Conditions on the fields of a layer. What is accepted is one expression by SQLite's own account: it reads the row's
// table and nothing else, calls none but the functions that may be called, and has no place for a value.
#include <sqlite3.h>

#include <algorithm>
#include <memory>

#include "eaveshed/words/condition.hpp"
#include "eaveshed/words/wording.hpp"
#include "fuzz/target.hpp"

namespace eaveshed::fuzz {

namespace {

struct Closer {
    void operator()(sqlite3* database) const { sqlite3_close(database); }
    void operator()(sqlite3_stmt* statement) const { sqlite3_finalize(statement); }
};

// What a condition did that it may not; empty when nothing.
using Trespass = std::string;

int judge(void* told, int action, const char* first, const char* second, const char*, const char*) {
    auto& trespass = *static_cast<Trespass*>(told);
    const auto text = [](const char* word) { return std::string(word != nullptr ? word : ""); };
    const auto called = [&] {
        return std::ranges::binary_search(condition_functions(), std::string_view(lower_case(text(second))));
    };
    const bool allowed = action == SQLITE_SELECT || (action == SQLITE_READ && text(first) == "rows") ||
                         (action == SQLITE_FUNCTION && called());
    if (!allowed) {
        trespass = std::to_string(action) + " " + text(first) + " " + text(second);
    }
    return SQLITE_OK;
}

sqlite3& rows() {
    static const std::unique_ptr<sqlite3, Closer> database = [] {
        sqlite3* opened = nullptr;
        require(sqlite3_open(":memory:", &opened) == SQLITE_OK, "no database in memory");
        sqlite3_exec(opened,
                     "CREATE TABLE rows (fid INTEGER PRIMARY KEY, use TEXT, floors INTEGER, area REAL);"
                     "CREATE TABLE others (secret TEXT)",
                     nullptr, nullptr, nullptr);
        return std::unique_ptr<sqlite3, Closer>(opened);
    }();
    return *database;
}

}  // namespace

void fuzz_condition(Bytes bytes) {
    const std::string condition(text_of(bytes));
    if (fault_of_condition(condition)) {
        return;
    }
    Trespass trespass;
    sqlite3_set_authorizer(&rows(), judge, &trespass);
    const std::string sql = "SELECT fid FROM rows WHERE (" + condition + "\n) LIMIT 1";
    sqlite3_stmt* prepared = nullptr;
    const char* rest = nullptr;
    const int outcome = sqlite3_prepare_v2(&rows(), sql.c_str(), static_cast<int>(sql.size()) + 1, &prepared, &rest);
    const std::unique_ptr<sqlite3_stmt, Closer> statement(prepared);
    sqlite3_set_authorizer(&rows(), nullptr, nullptr);
    require(trespass.empty(), "a condition that does more than judge a row: " + trespass);
    if (outcome != SQLITE_OK) {
        return;  // a field that is not there, or no sense
    }
    require(rest != nullptr && *rest == '\0' && sql.find('\0') == std::string::npos,
            "a condition of several statements");
    require(sqlite3_bind_parameter_count(prepared) == 0, "a condition with a place for a value");
    require(sqlite3_stmt_readonly(prepared) != 0, "a condition that writes");
    const std::string_view written(sqlite3_sql(prepared));
    require(written == sql, "a condition that was read only in part");
}

}  // namespace eaveshed::fuzz
