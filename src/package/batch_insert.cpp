#include "eaveshed/package/batch_insert.hpp"

#include <sqlite3.h>

#include <new>
#include <utility>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

// Stays where it is: SQLite holds its address.
struct RowsShown {
    bool with_geometry = false;
    std::size_t columns = 0;  // the geometry among them
    const RowBatch* batch = nullptr;
    std::span<const std::size_t> positions;
};

namespace {

// What SQLite calls of a virtual table that is only read from one end to the other (sqlite.org/vtab.html). Each of its
// two objects begins with SQLite's own part.
struct RowsTable {
    sqlite3_vtab base;
    const RowsShown* shown;
};

struct RowsCursor {
    sqlite3_vtab_cursor base;
    const RowsShown* shown;
    std::size_t next;
    RowBatch::Row row;
};

void go_to(RowsCursor& cursor, std::size_t position) {
    cursor.next = position;
    if (position < cursor.shown->positions.size()) {
        cursor.row = cursor.shown->batch->row(cursor.shown->positions[position]);
    }
}

// "CREATE TABLE rows (c0, c1, c2)", or a part of it.
std::string column_list(std::size_t columns) {
    std::string list;
    for (std::size_t i = 0; i < columns; ++i) {
        list += (list.empty() ? "c" : ", c") + std::to_string(i);
    }
    return list;
}

int connect(sqlite3* database, void* rows, int /*words*/, const char* const* /*words*/, sqlite3_vtab** made,
            char** /*fault*/) noexcept {
    const auto* const shown = static_cast<const RowsShown*>(rows);
    const int code =
        sqlite3_declare_vtab(database, ("CREATE TABLE rows (" + column_list(shown->columns) + ")").c_str());
    auto* const table = code == SQLITE_OK ? new (std::nothrow) RowsTable{{}, shown} : nullptr;
    *made = table != nullptr ? &table->base : nullptr;
    return code == SQLITE_OK && table == nullptr ? SQLITE_NOMEM : code;
}

int disconnect(sqlite3_vtab* table) noexcept {
    delete reinterpret_cast<RowsTable*>(table);
    return SQLITE_OK;
}

int best_index(sqlite3_vtab* /*table*/, sqlite3_index_info* /*wanted*/) noexcept {
    return SQLITE_OK;
}

int open_cursor(sqlite3_vtab* table, sqlite3_vtab_cursor** made) noexcept {
    auto* const cursor = new (std::nothrow) RowsCursor{{}, reinterpret_cast<RowsTable*>(table)->shown, 0, {}};
    *made = cursor != nullptr ? &cursor->base : nullptr;
    return cursor != nullptr ? SQLITE_OK : SQLITE_NOMEM;
}

RowsCursor& rows_of(sqlite3_vtab_cursor* cursor) {
    return *reinterpret_cast<RowsCursor*>(cursor);
}

int close_cursor(sqlite3_vtab_cursor* cursor) noexcept {
    delete &rows_of(cursor);
    return SQLITE_OK;
}

int begin_rows(sqlite3_vtab_cursor* cursor, int /*index*/, const char* /*index*/, int /*count*/,
               sqlite3_value** /*values*/) noexcept {
    go_to(rows_of(cursor), 0);
    return SQLITE_OK;
}

int next_row(sqlite3_vtab_cursor* cursor) noexcept {
    go_to(rows_of(cursor), rows_of(cursor).next + 1);
    return SQLITE_OK;
}

int is_at_end(sqlite3_vtab_cursor* cursor) noexcept {
    return rows_of(cursor).next >= rows_of(cursor).shown->positions.size() ? 1 : 0;
}

void give(sqlite3_context* context, const ValueView& value) {
    if (const auto* const real = std::get_if<double>(&value)) {
        sqlite3_result_double(context, *real);
    } else if (const auto* const text = std::get_if<std::string_view>(&value)) {
        sqlite3_result_text64(context, text->data(), text->size(), SQLITE_STATIC, SQLITE_UTF8);
    } else if (const auto* const whole = std::get_if<std::int64_t>(&value)) {
        sqlite3_result_int64(context, *whole);
    }  // else null, which is what stands there
}

int give_column(sqlite3_vtab_cursor* cursor, sqlite3_context* context, int column) noexcept {
    const RowsCursor& rows = rows_of(cursor);
    const bool geometry = rows.shown->with_geometry;
    if (geometry && column == 0) {
        const std::span<const unsigned char> bytes = rows.row.geometry;
        if (!bytes.empty()) {
            sqlite3_result_blob64(context, bytes.data(), bytes.size(), SQLITE_STATIC);
        }
    } else {
        give(context, rows.row.values[static_cast<std::size_t>(column) - (geometry ? 1 : 0)]);
    }
    return SQLITE_OK;
}

int give_number(sqlite3_vtab_cursor* cursor, sqlite3_int64* number) noexcept {
    *number = static_cast<sqlite3_int64>(rows_of(cursor).next);
    return SQLITE_OK;
}

// Without a way to create one it is there by its name alone, and the database knows nothing of it.
constexpr sqlite3_module rows_module() {
    sqlite3_module made{};
    made.xConnect = connect;
    made.xBestIndex = best_index;
    made.xDisconnect = disconnect;
    made.xOpen = open_cursor;
    made.xClose = close_cursor;
    made.xFilter = begin_rows;
    made.xNext = next_row;
    made.xEof = is_at_end;
    made.xColumn = give_column;
    made.xRowid = give_number;
    return made;
}
constexpr sqlite3_module kRowsModule = rows_module();

// Makes the rows known under a name, and the statement that reads them.
Statement insert_from(Database& database, RowsShown& shown, const std::string& name, const std::string& table,
                      const std::string& columns) {
    if (sqlite3_create_module_v2(database.handle(), name.c_str(), &kRowsModule, &shown, nullptr) != SQLITE_OK) {
        database.fail("showing it the rows of a layer");
    }
    return {database, "INSERT INTO " + quoted_identifier(table) + " (" + columns + ") SELECT " +
                          column_list(shown.columns) + " FROM " + name};
}

std::string quoted_list(const std::string& first, const std::vector<std::string>& names) {
    std::string list = first.empty() ? "" : quoted_identifier(first);
    for (const std::string& name : names) {
        list += (list.empty() ? "" : ", ") + quoted_identifier(name);
    }
    return list;
}

}  // namespace

BatchInsert::BatchInsert(Database& database, std::size_t number, const std::string& table,
                         const std::string& geometry_column, const std::vector<std::string>& columns)
    : m_shown(std::make_unique<RowsShown>(RowsShown{.with_geometry = !geometry_column.empty(),
                                                    .columns = columns.size() + (geometry_column.empty() ? 0 : 1),
                                                    .batch = nullptr,
                                                    .positions = {}})),
      m_insert(insert_from(database, *m_shown, "eaveshed_rows_" + std::to_string(number), table,
                           quoted_list(geometry_column, columns))) {}

BatchInsert::~BatchInsert() = default;
BatchInsert::BatchInsert(BatchInsert&&) noexcept = default;
BatchInsert& BatchInsert::operator=(BatchInsert&&) noexcept = default;

void BatchInsert::run(const RowBatch& batch, std::span<const std::size_t> positions) {
    for (const std::size_t position : positions) {
        if (batch.row(position).values.size() + (m_shown->with_geometry ? 1 : 0) != m_shown->columns) {
            internal_error("a row with another number of values than its layer has columns");
        }
    }
    m_shown->batch = &batch;
    m_shown->positions = positions;
    m_insert.run();
}

}  // namespace eaveshed
