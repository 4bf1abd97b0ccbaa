#include "eaveshed/files/delimited_text.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <optional>
#include <span>

#include <fmt/format.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/files/file.hpp"
#include "eaveshed/files/paths.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr const char* kTableWanted = "a table as text: a first line with names, then a line for each day or month";
constexpr std::array kDelimiters{'\t', ';', ',', '|', ' '};

bool is_blank(char c) {
    return c == ' ' || c == '\t';
}

std::string_view without_blanks(std::string_view text) {
    while (!text.empty() && is_blank(text.front())) {
        text.remove_prefix(1);
    }
    while (!text.empty() && is_blank(text.back())) {
        text.remove_suffix(1);
    }
    return text;
}

// Walks a text cell by cell.
class CellReader {
public:
    CellReader(std::string_view text, char delimiter, const std::string& where)
        : m_text(text), m_delimiter(delimiter), m_where(where) {}

    // The next row that is neither empty nor a remark; false at the end.
    bool next(TextRow& row) {
        while (m_at < m_text.size()) {
            row.line = m_line;
            row.cells.clear();
            read_row(row);
            const bool empty = std::ranges::all_of(row.cells, [](const std::string& cell) { return cell.empty(); });
            if (!empty && row.cells.front().substr(0, 1) != "#") {
                return true;
            }
        }
        return false;
    }

private:
    [[nodiscard]] bool at_line_end() const { return m_text[m_at] == '\n' || m_text[m_at] == '\r'; }
    void pass_line_end() {
        const bool both = m_text[m_at] == '\r' && m_at + 1 < m_text.size() && m_text[m_at + 1] == '\n';
        m_at += both ? 2U : 1U;
        ++m_line;
    }
    void pass_blanks() {
        while (m_at < m_text.size() && is_blank(m_text[m_at]) && (m_text[m_at] != m_delimiter || m_delimiter == ' ')) {
            ++m_at;
        }
    }

    void read_row(TextRow& row) {
        for (;;) {
            pass_blanks();
            if (m_at < m_text.size() && m_text[m_at] == '"') {
                row.cells.push_back(quoted_cell());
            } else {
                row.cells.push_back(plain_cell());
            }
            replace_invalid_utf8(row.cells.back());
            if (m_delimiter == ' ') {
                pass_blanks();
            }
            if (m_at >= m_text.size()) {
                return;
            }
            if (at_line_end()) {
                pass_line_end();
                return;
            }
            m_at += m_delimiter == ' ' ? 0U : 1U;  // blanks are passed already
        }
    }

    std::string plain_cell() {
        const std::size_t begin = m_at;
        while (m_at < m_text.size() && m_text[m_at] != m_delimiter && !at_line_end()) {
            ++m_at;
        }
        return std::string(without_blanks(m_text.substr(begin, m_at - begin)));
    }

    std::string quoted_cell() {
        const std::size_t first_line = m_line;
        std::string cell;
        for (++m_at; m_at < m_text.size(); ++m_at) {
            if (m_text[m_at] == '"' && m_text.substr(m_at + 1, 1) != "\"") {
                ++m_at;
                cell += plain_cell();  // what stands between the quote and the next delimiter
                return std::string(without_blanks(cell));
            }
            if (m_text[m_at] == '"') {
                ++m_at;
            } else if (m_text[m_at] == '\n') {
                ++m_line;
            }
            cell += m_text[m_at] == '\n' || m_text[m_at] == '\r' ? ' ' : m_text[m_at];
        }
        throw input_error(m_where, fmt::format("a double quote in line {} that is never closed", first_line),
                          kTableWanted, "close it, or take it out");
    }

    std::string_view m_text;
    char m_delimiter;
    const std::string& m_where;
    std::size_t m_at = 0;
    std::size_t m_line = 1;
};

// How many of the first rows have as many cells as most of them have, more than one.
std::size_t agreement(std::string_view text, char delimiter) {
    constexpr std::size_t kRows = 50;
    const std::string where;
    CellReader reader(text, delimiter, where);
    std::map<std::size_t, std::size_t> rows_by_cells;
    TextRow row;
    try {
        for (std::size_t i = 0; i < kRows && reader.next(row); ++i) {
            ++rows_by_cells[row.cells.size()];
        }
    } catch (const Error&) {  // a quote that is open with this delimiter: told if it is the one
    }
    std::size_t most = 0;
    for (const auto& [cells, rows] : rows_by_cells) {
        most = cells > 1 ? std::max(most, rows) : most;
    }
    return most;
}

// Of those with the same agreement the first: what separates cells rarely stands inside them, a comma and a blank do.
char likely_delimiter(std::string_view text) {
    char best = ',';
    std::size_t most = 0;
    for (const char delimiter : kDelimiters) {
        if (const std::size_t rows = agreement(text, delimiter); rows > most) {
            most = rows;
            best = delimiter;
        }
    }
    return best;
}

void require_text(std::string_view text, const std::string& where) {
    const auto begins = [&](std::string_view with) { return text.substr(0, with.size()) == with; };
    if (begins("PK\x03\x04") || begins("\xD0\xCF\x11\xE0")) {
        throw input_error(where, "a spreadsheet or an archive", kTableWanted, "save the sheet as CSV (UTF-8)");
    }
    if (begins("\xFF\xFE") || begins("\xFE\xFF")) {
        throw input_error(where, "text in UTF-16", "text in UTF-8", "save it as CSV (UTF-8)");
    }
    if (text.find('\0') != std::string_view::npos) {
        throw input_error(where, "bytes that are no text", kTableWanted, "name a text file (CSV)");
    }
}

}  // namespace

std::string DelimitedText::at(std::size_t line) const {
    return fmt::format("{}, line {}", where, line);
}

DelimitedText parse_delimited(std::string_view text, const std::string& where) {
    require_text(text, where);
    constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";
    if (text.substr(0, kByteOrderMark.size()) == kByteOrderMark) {
        text.remove_prefix(kByteOrderMark.size());
    }
    DelimitedText table;
    table.where = where;
    table.delimiter = likely_delimiter(text);
    CellReader reader(text, table.delimiter, table.where);
    for (TextRow row; reader.next(row);) {
        table.rows.push_back(row);
    }
    if (table.rows.empty()) {
        throw input_error(where, "a table without a line", kTableWanted, "name another file");
    }
    return table;
}

DelimitedText read_delimited(const std::string& setting, const std::string& path) {
    require_readable(setting, path, FileKind::vector);
    const std::string where = setting_and_path(setting, path);
    constexpr std::uint64_t kLargest = 1ULL << 30;
    const File file(path, File::Mode::read);
    if (file.size() > kLargest) {
        throw input_error(where, "a table of more than 1 GiB", kTableWanted, "keep only the stations around the basin");
    }
    std::string text(file.size(), '\0');
    file.read_at(0, {reinterpret_cast<unsigned char*>(text.data()), text.size()});
    DelimitedText table = parse_delimited(text, where);
    table.file = path;
    return table;
}

}  // namespace eaveshed
