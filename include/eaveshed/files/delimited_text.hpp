// A table kept as text: lines of cells between commas, semicolons, tabs, bars or blanks, as spreadsheets, agencies and
// loggers write them.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace eaveshed {

struct TextRow {
    std::size_t line = 1;            // in the file, from 1: where the row begins
    std::vector<std::string> cells;  // without blanks around them, valid UTF-8
};

struct DelimitedText {
    std::string where;  // `rain.source "gauge.csv"`, for messages
    std::string file;
    char delimiter = ',';
    std::vector<TextRow> rows;  // at least one; empty lines and lines that begin with # are left out

    // "line 7 of `where`".
    [[nodiscard]] std::string at(std::size_t line) const;
};

// Cells may stand in double quotes, with doubled ones inside them; lines end as on any system; a byte order mark of
// UTF-8 is passed over. The delimiter is the one that stands equally often in most of the first lines. Throws input
// errors: no readable file, a spreadsheet or UTF-16 in place of text, a quote that is not closed, nothing in it.
[[nodiscard]] DelimitedText read_delimited(const std::string& setting, const std::string& path);

// The same of a text in memory.
[[nodiscard]] DelimitedText parse_delimited(std::string_view text, const std::string& where);

}  // namespace eaveshed
