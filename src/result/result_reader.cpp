#include "eaveshed/result/result_reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <span>

#include "eaveshed/core/error.hpp"
#include "eaveshed/files/paths.hpp"
#include "eaveshed/geometry/wkb.hpp"
#include "eaveshed/outside/sqlite.hpp"
#include "eaveshed/outside/sqlite_guard.hpp"
#include "eaveshed/outside/sqlite_input.hpp"
#include "eaveshed/record/output_rows.hpp"
#include "eaveshed/words/condition.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr std::int64_t kApplicationId = 0x47504B47;  // "GPKG", OGC 12-128r17, requirement 2
constexpr std::size_t kMostRecordRows = 100'000;
constexpr std::chrono::seconds kLongestQuery{30};
constexpr const char* kWanted = "a GeoPackage that `eaveshed screen` wrote";

void require_database(const std::string& path) {
    require_readable("GeoPackage", path, FileKind::result);
    if (!is_sqlite(path)) {
        throw input_error(path, "a file that is no GeoPackage", kWanted, "name the output of a screening");
    }
}

}  // namespace

struct ResultReader::Impl {
    Impl(const std::string& path_, Findings& findings)
        : path(path_),
          look((require_database(path_), SqliteInput(path_, path_, findings))),
          database(path_, look.immutable() ? DatabaseAccess::read_immutable : DatabaseAccess::read),
          watch(database.handle(), kLongestQuery) {}

    // The names of the table's columns; none when there is no such table (views and virtual tables are none).
    std::vector<std::string> columns(const std::string& table) {
        watch.restart();
        Statement is_table(
            database, "SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = ? AND sql LIKE 'CREATE TABLE%'");
        is_table.bind(1, table);
        if (!is_table.step()) {
            return {};
        }
        Statement query(database, "SELECT name FROM pragma_table_info(?)");
        query.bind(1, table);
        std::vector<std::string> names;
        while (query.step()) {
            names.push_back(query.text(0));
        }
        return names;
    }

    std::vector<std::string> columns_required(const std::string& table) {
        std::vector<std::string> names = columns(table);
        if (names.empty()) {
            throw input_error(path, fmt::format("no table {}", table), kWanted,
                              "name the output of a screening, or screen the basin again");
        }
        return names;
    }

    void require(const std::string& table, const std::string& column) {
        const auto names = columns_required(table);
        if (std::ranges::find(names, column) == names.end()) {
            throw input_error(path, fmt::format("no column {} in a table {}", column, table), kWanted,
                              "name the output of a screening; a file that was edited cannot be explained");
        }
    }

    void read_record() {
        require("run_record", "key");
        require("run_record", "value");
        Statement query(database, "SELECT key, value FROM run_record ORDER BY rowid");
        while (query.step()) {
            record.emplace_back(query.text(0), query.text(1));
            if (record.size() > kMostRecordRows) {
                throw input_error(path, "a run record of more than 100000 rows", kWanted,
                                  "name the output of a screening");
            }
        }
    }

    std::string path;
    SqliteInput look;
    Database database;
    SqliteWatch watch;
    std::vector<std::pair<std::string, std::string>> record;
};

ResultReader::ResultReader(const std::string& path, Findings& findings)
    : m_impl(std::make_unique<Impl>(path, findings)) {
    Statement query(m_impl->database, "PRAGMA application_id");
    if (!query.step() || query.integer(0) != kApplicationId) {
        throw input_error(path, "a database that is no GeoPackage", kWanted, "name the output of a screening");
    }
    m_impl->read_record();
    if (const std::string program = record_value("program.name"); program != "eaveshed") {
        throw input_error(path, fmt::format("a run record of the program \"{}\"", printable(program)), kWanted,
                          "name the output of a screening");
    }
}

ResultReader::~ResultReader() = default;
ResultReader::ResultReader(ResultReader&& other) noexcept = default;
ResultReader& ResultReader::operator=(ResultReader&& other) noexcept = default;

ResultReader open_result(const std::string& path, Findings& findings) {
    ResultReader result(path, findings);
    std::vector<std::string> missing;
    for (const OutputTable& output : output_tables()) {
        if (const std::string table(output.table.name); !result.has_table(table)) {
            missing.push_back(table);
        }
    }
    if (!missing.empty()) {
        findings.warn({path, "no table " + listed(missing), "all tables of a screening",
                       "what they held is left out; screen the basin again, or name a file that was not edited"});
    }
    return result;
}

std::vector<ResultRow> ResultReader::rows_where(const std::string& table, const std::string& column,
                                                const std::string& text, std::size_t most) const {
    m_impl->require(table, column);
    const std::vector<std::string> names = m_impl->columns(table);
    std::string list;
    for (const std::string& name : names) {
        list += (list.empty() ? "" : ", ") + quoted_identifier(name);
    }
    m_impl->watch.restart();
    Statement query(m_impl->database, fmt::format("SELECT {} FROM {} WHERE {} = ? ORDER BY rowid LIMIT {}", list,
                                                  quoted_identifier(table), quoted_identifier(column), most));
    query.bind(1, text);
    std::vector<ResultRow> rows;
    while (query.step()) {
        ResultRow& row = rows.emplace_back();
        for (std::size_t i = 0; i < names.size(); ++i) {
            row.emplace(names[i], query.value(static_cast<int>(i)));
        }
    }
    return rows;
}

namespace {

// What a user wrote, on rows of one table.
struct AskedCondition {
    const std::string& text;
    const std::string& name;  // of the option
    const std::string& table;
    const std::vector<std::string>& columns;

    void require_expression() const {
        if (const auto fault = fault_of_condition(text)) {
            throw input_error(name, fmt::format("\"{}\", with {}", printable(text), *fault),
                              fmt::format("one expression of SQL over the columns of {}", table),
                              "for example \"delivery = 'gravity' AND forbearance_m3 > 10\"");
        }
    }
    [[noreturn]] void refuse(const std::string& said) const {
        throw input_error(name, fmt::format("\"{}\", which cannot be worked out: {}", printable(text), said),
                          fmt::format("one expression of SQL over the columns of {}", table),
                          condition_remedy(said, columns));
    }
};

// The rows for which the condition holds.
Statement rows_for(Database& database, const AskedCondition& condition, const std::string& list,
                   const std::string& tail) {
    const std::string rows = fmt::format("SELECT {} FROM {}", list, quoted_identifier(condition.table));
    if (condition.text.empty()) {
        return {database, rows + " ORDER BY " + tail};
    }
    condition.require_expression();
    const SqliteReadsOnly guard(database.handle(), SqliteReadsOnly::Whose::condition, condition.table);
    try {
        return {database, rows + " WHERE (" + condition.text + ") ORDER BY " + tail};
    } catch (const Error& error) {
        condition.refuse(error.trouble().found);
    }
}

// Whether there is a row.
bool step_to(Statement& query, const Database& database, const AskedCondition& condition) {
    try {
        return query.step();
    } catch (const Error& error) {
        if (condition.text.empty() || !database.statement_failed()) {
            throw;
        }
        condition.refuse(error.trouble().found);
    }
}

}  // namespace

bool ResultReader::has_table(const std::string& table) const {
    return !m_impl->columns(table).empty();
}

std::vector<std::string> ResultReader::columns(const std::string& table) const {
    return m_impl->columns_required(table);
}

void ResultReader::visit_rows(const std::string& table, const std::string& condition, const std::string& condition_name,
                              const std::string& tail,
                              const std::function<void(const std::vector<Value>&)>& visit) const {
    const std::vector<std::string> names = columns(table);
    std::string list;
    for (const std::string& name : names) {
        list += (list.empty() ? "" : ", ") + quoted_identifier(name);
    }
    m_impl->watch.restart();
    const AskedCondition asked{condition, condition_name, table, names};
    Statement query = rows_for(m_impl->database, asked, list, tail);
    std::vector<Value> values(names.size());
    while (step_to(query, m_impl->database, asked)) {
        for (std::size_t i = 0; i < values.size(); ++i) {
            values[i] = query.value(static_cast<int>(i));
        }
        visit(values);
        m_impl->watch.restart();
    }
}

void ResultReader::each_row(const std::string& table, const std::string& condition, const std::string& condition_name,
                            const std::function<void(const std::vector<Value>&)>& visit) const {
    visit_rows(table, condition, condition_name, "rowid", visit);
}

void ResultReader::first_rows(const std::string& table, const std::string& condition, const std::string& order,
                              std::size_t most, const std::function<void(const std::vector<Value>&)>& visit) const {
    visit_rows(table, condition, table, fmt::format("{}, rowid LIMIT {}", order, most), visit);
}

std::size_t ResultReader::row_count(const std::string& table) const {
    static_cast<void>(columns(table));
    m_impl->watch.restart();
    Statement query(m_impl->database, "SELECT COUNT(*) FROM " + quoted_identifier(table));
    return query.step() ? static_cast<std::size_t>(query.integer(0)) : 0;
}

std::vector<std::string> ResultReader::texts(const std::string& table, const std::string& column) const {
    m_impl->require(table, column);
    m_impl->watch.restart();
    Statement query(m_impl->database, fmt::format("SELECT {} FROM {} ORDER BY rowid", quoted_identifier(column),
                                                  quoted_identifier(table)));
    std::vector<std::string> found;
    while (query.step()) {
        found.push_back(query.text(0));
    }
    return found;
}

namespace {

void read_values(const Statement& query, std::vector<Value>& values) {
    for (std::size_t i = 0; i < values.size(); ++i) {
        values[i] = query.value(static_cast<int>(i));
    }
}

// "SELECT "a", "b", rowid FROM "table"".
std::string select_numbered(const std::string& table, const std::vector<std::string>& columns) {
    std::string list;
    for (const std::string& column : columns) {
        list += quoted_identifier(column) + ", ";
    }
    return "SELECT " + list + "rowid FROM " + quoted_identifier(table);
}

}  // namespace

std::vector<ResultReader::PointRow> ResultReader::points_where(const std::string& table, const std::string& key_column,
                                                               const std::string& column,
                                                               const std::string& text) const {
    m_impl->require(table, key_column);
    m_impl->require(table, column);
    std::vector<PointRow> rows;
    Statement name(m_impl->database, "SELECT column_name FROM gpkg_geometry_columns WHERE table_name = ?");
    name.bind(1, table);
    if (!name.step()) {
        return rows;
    }
    m_impl->watch.restart();
    Statement query(m_impl->database,
                    fmt::format("SELECT {}, {} FROM {} WHERE {} = ? ORDER BY rowid", quoted_identifier(key_column),
                                quoted_identifier(name.text(0)), quoted_identifier(table), quoted_identifier(column)));
    query.bind(1, text);
    while (query.step()) {
        const auto wkb = geopackage_wkb(query.blob(1));
        if (const auto place = wkb ? wkb_point(*wkb) : std::nullopt) {
            rows.push_back({query.text(0), *place});
        }
    }
    return rows;
}

std::string ResultReader::layer_crs(const std::string& table) const {
    Statement query(m_impl->database,
                    "SELECT s.definition FROM gpkg_geometry_columns g JOIN gpkg_spatial_ref_sys s USING (srs_id) WHERE "
                    "g.table_name = ?");
    query.bind(1, table);
    return query.step() ? query.text(0) : std::string{};
}

struct RowCursor::Impl {
    Statement query;
    SqliteWatch& watch;
    std::vector<Value> values;
};

RowCursor::RowCursor(std::unique_ptr<Impl> impl) : m_impl(std::move(impl)) {}
RowCursor::~RowCursor() = default;
RowCursor::RowCursor(RowCursor&& other) noexcept = default;
RowCursor& RowCursor::operator=(RowCursor&& other) noexcept = default;

bool RowCursor::next() {
    m_impl->watch.restart();
    if (!m_impl->query.step()) {
        return false;
    }
    read_values(m_impl->query, m_impl->values);
    return true;
}

std::int64_t RowCursor::number() const {
    return m_impl->query.integer(static_cast<int>(m_impl->values.size()));
}

const std::vector<Value>& RowCursor::values() const {
    return m_impl->values;
}

struct RowFinder::Impl {
    Statement query;
    SqliteWatch& watch;
    std::vector<Value> values;
    std::string path;
};

RowFinder::RowFinder(std::unique_ptr<Impl> impl) : m_impl(std::move(impl)) {}
RowFinder::~RowFinder() = default;
RowFinder::RowFinder(RowFinder&& other) noexcept = default;
RowFinder& RowFinder::operator=(RowFinder&& other) noexcept = default;

void RowFinder::find(std::int64_t number) {
    m_impl->watch.restart();
    m_impl->query.reset();
    m_impl->query.bind(1, Value(number));
    if (!m_impl->query.step()) {
        throw input_error(m_impl->path, fmt::format("no row {} any more", number), kWanted,
                          "wait until nobody writes the file, then run again");
    }
    read_values(m_impl->query, m_impl->values);
}

const std::vector<Value>& RowFinder::values() const {
    return m_impl->values;
}

std::span<const unsigned char> RowFinder::bytes(std::size_t column) const {
    return m_impl->query.bytes(static_cast<int>(column));
}

RowCursor ResultReader::rows(const std::string& table, const std::vector<std::string>& columns, RowOrder order) const {
    for (const std::string& column : columns) {
        m_impl->require(table, column);
    }
    // As bytes: the order of the letters' numbers, whatever the column's collation.
    const std::string by =
        order == RowOrder::number ? "rowid" : fmt::format("CAST({} AS BLOB), rowid", quoted_identifier(columns.at(0)));
    return RowCursor(std::make_unique<RowCursor::Impl>(
        RowCursor::Impl{Statement(m_impl->database, select_numbered(table, columns) + " ORDER BY " + by), m_impl->watch,
                        std::vector<Value>(columns.size())}));
}

RowFinder ResultReader::finder(const std::string& table, const std::vector<std::string>& columns) const {
    for (const std::string& column : columns) {
        m_impl->require(table, column);
    }
    return RowFinder(std::make_unique<RowFinder::Impl>(
        RowFinder::Impl{Statement(m_impl->database, select_numbered(table, columns) + " WHERE rowid = ?"),
                        m_impl->watch, std::vector<Value>(columns.size()), m_impl->path}));
}

const std::vector<std::pair<std::string, std::string>>& ResultReader::record() const {
    return m_impl->record;
}

std::string ResultReader::record_value(const std::string& key) const {
    const auto& record = m_impl->record;
    const auto found = std::ranges::find(record, key, &std::pair<std::string, std::string>::first);
    return found == record.end() ? std::string{} : found->second;
}

}  // namespace eaveshed
