// Tables for people outside a GIS: comma-separated text and spreadsheets. They may hold names and telephones, so only
// their owner may read them; nothing half-written stands under the final name.
#pragma once

#include <filesystem>
#include <memory>
#include <string>
#include <vector>

#include "eaveshed/record/values.hpp"

namespace eaveshed {

struct SheetColumn {
    std::string title;
    double width = 12.0;  // characters, for spreadsheets
    // Words that a spreadsheet offers for each cell below the title; others are warned of. At most 255 bytes together
    // with a comma between them.
    std::vector<std::string> choices = {};
};

struct Sheet {
    std::string name;  // of the sheet
    std::vector<SheetColumn> columns;
    std::vector<std::vector<Value>> rows;  // as many values as columns
};

// RFC 4180: comma, double quotes, CRLF, UTF-8, a line of titles. Numbers as the shortest text that reads back as the
// same number; null is empty. A text that a spreadsheet would take for a formula (one that begins with = + - @, a tab
// or a line end) gets an apostrophe in front, unless the whole of it is a number.
void write_csv(const std::filesystem::path& path, const Sheet& table);

// The same row by row, for lists of any length: nothing stands under the name before publish().
class CsvFile {
public:
    CsvFile(const std::filesystem::path& path, const std::vector<std::string>& titles);
    ~CsvFile();
    CsvFile(const CsvFile&) = delete;
    CsvFile& operator=(const CsvFile&) = delete;

    void add(const std::vector<Value>& row);  // as many values as titles
    void publish();                           // once, after the last row

private:
    struct Impl;
    std::unique_ptr<Impl> m_impl;
};

// Office Open XML (ECMA-376): numbers stay numbers, and no text is taken for a formula. The first row is frozen and
// filtered. Equal tables give equal bytes.
void write_xlsx(const std::filesystem::path& path, const Sheet& table);

// One value as CSV writes it.
[[nodiscard]] std::string csv_cell(const Value& value);

}  // namespace eaveshed
