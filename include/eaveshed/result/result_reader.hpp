// A finished GeoPackage of this program, read back. The file may come from anywhere: it is opened for reading only, its
// own statements (triggers, views) are never run, and no query runs longer than half a minute.
#pragma once

#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/core/grid.hpp"
#include "eaveshed/record/values.hpp"

namespace eaveshed {

// By column name.
using ResultRow = std::map<std::string, Value>;

// In which order rows come: by their numbers, or by the bytes of the first column asked for (null first), then by
// number.
enum class RowOrder : std::uint8_t { number, first_column };

// The rows of a table one at a time, some columns of each; only one is in memory. The reader must outlive it.
class RowCursor {
public:
    ~RowCursor();
    RowCursor(RowCursor&& other) noexcept;
    RowCursor& operator=(RowCursor&& other) noexcept;
    // False after the last row.
    [[nodiscard]] bool next();
    [[nodiscard]] std::int64_t number() const;               // of the row
    [[nodiscard]] const std::vector<Value>& values() const;  // in the order of the columns; null for a blob

private:
    friend class ResultReader;
    struct Impl;
    explicit RowCursor(std::unique_ptr<Impl> impl);
    std::unique_ptr<Impl> m_impl;
};

// Single rows of a table by their numbers. The reader must outlive it.
class RowFinder {
public:
    ~RowFinder();
    RowFinder(RowFinder&& other) noexcept;
    RowFinder& operator=(RowFinder&& other) noexcept;
    // A number that no row has is an input error: the file changed meanwhile.
    void find(std::int64_t number);
    [[nodiscard]] const std::vector<Value>& values() const;  // of the row last found, as those of RowCursor
    // The bytes of a blob, by the position of its column, until the next find().
    [[nodiscard]] std::span<const unsigned char> bytes(std::size_t column) const;

private:
    friend class ResultReader;
    struct Impl;
    explicit RowFinder(std::unique_ptr<Impl> impl);
    std::unique_ptr<Impl> m_impl;
};

// One thread.
class ResultReader {
public:
    // Throws an input error for what is missing, no GeoPackage, or not written by this program (no run record, or one
    // of another program).
    ResultReader(const std::string& path, Findings& findings);
    ~ResultReader();
    ResultReader(ResultReader&& other) noexcept;
    ResultReader& operator=(ResultReader&& other) noexcept;

    // Rows of a table in which `column` is the text, in the order of their numbers, at most `most`, with all columns
    // but blobs; `fid` among them. A table that is not there, or without that column, is an input error.
    [[nodiscard]] std::vector<ResultRow> rows_where(const std::string& table, const std::string& column,
                                                    const std::string& text, std::size_t most) const;
    [[nodiscard]] bool has_table(const std::string& table) const;
    // The names of a table's columns. A table that is not there is an input error.
    [[nodiscard]] std::vector<std::string> columns(const std::string& table) const;
    // Every row of a table, in the order of their numbers, for which an SQL expression over its columns is true (empty:
    // all): the values in the order of the columns, null for a blob. An expression that SQLite does not understand is
    // an input error about `condition_name`.
    void each_row(const std::string& table, const std::string& condition, const std::string& condition_name,
                  const std::function<void(const std::vector<Value>&)>& visit) const;
    // The same of the first rows in another order: `order` is an SQL list of columns, ties by the rows' numbers.
    void first_rows(const std::string& table, const std::string& condition, const std::string& order, std::size_t most,
                    const std::function<void(const std::vector<Value>&)>& visit) const;
    // Some columns of every row. A table or a column that is not there is an input error.
    [[nodiscard]] RowCursor rows(const std::string& table, const std::vector<std::string>& columns,
                                 RowOrder order) const;
    [[nodiscard]] RowFinder finder(const std::string& table, const std::vector<std::string>& columns) const;
    // How many rows a table has. The same error for one that is not there.
    [[nodiscard]] std::size_t row_count(const std::string& table) const;
    // One column of every row, as text; null as empty text. The same errors.
    [[nodiscard]] std::vector<std::string> texts(const std::string& table, const std::string& column) const;
    // The points of a layer of points, with a text column of their rows, where another column holds `text`; rows
    // without a point that is finite are passed over. The same errors.
    struct PointRow {
        std::string key;
        Point place;  // in the layer's CRS
    };
    [[nodiscard]] std::vector<PointRow> points_where(const std::string& table, const std::string& key_column,
                                                     const std::string& column, const std::string& text) const;
    // The definition of a layer's CRS as the file has it (WKT); empty for a layer that the file does not know.
    [[nodiscard]] std::string layer_crs(const std::string& table) const;
    // The run record in its order. More than a hundred thousand rows are an input error.
    [[nodiscard]] const std::vector<std::pair<std::string, std::string>>& record() const;
    // The value of a key of the record; empty where it has none.
    [[nodiscard]] std::string record_value(const std::string& key) const;

private:
    // `tail`: what ends the query, after ORDER BY.
    void visit_rows(const std::string& table, const std::string& condition, const std::string& condition_name,
                    const std::string& tail, const std::function<void(const std::vector<Value>&)>& visit) const;
    struct Impl;
    std::unique_ptr<Impl> m_impl;
};

// How every command opens a finished file: warns of the tables that a screening writes and the file does not have, an
// older one or one that was edited.
[[nodiscard]] ResultReader open_result(const std::string& path, Findings& findings);

}  // namespace eaveshed
