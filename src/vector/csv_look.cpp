#include "csv_look.hpp"

#include <array>
#include <cstdint>
#include <fstream>
#include <optional>
#include <string_view>
#include <vector>

#include <fmt/format.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr std::array kSigns{',', ';', '\t', '|', ' '};

// The values of one row: how many, and how many up to the last that holds something.
struct RowWidth {
    std::size_t values = 1;
    std::size_t filled = 0;
};

// Takes a table apart as the standard has it (RFC 4180, section 2), for one sign between its values.
class RowWalk {
public:
    explicit RowWalk(char sign) : m_sign(sign) {}

    void begin() {
        m_row = {};
        m_lines = 0;
        m_quotes = 0;
        m_amiss = false;
        m_closed = false;
        m_at_start = true;
    }
    // A line of the row without its end.
    void take(std::string_view line) {
        ++m_lines;
        for (std::size_t i = 0; i < line.size(); ++i) {
            m_quotes += line[i] == '"' ? 1U : 0U;
            if (m_inside && line.substr(i, 2) == "\"\"") {
                ++m_quotes;
                ++i;
                fill(line[i]);
            } else {
                step(line[i]);
            }
        }
    }
    [[nodiscard]] const RowWidth& row() const { return m_row; }
    // The row goes on in the next line.
    [[nodiscard]] bool inside() const { return m_inside; }
    // A quotation mark stands where none may, and the library, which only counts them, takes other lines for one.
    [[nodiscard]] bool swallows() const { return m_amiss && (m_quotes % 2 != 0 || m_lines > 1); }

private:
    void step(char c) {
        if (m_inside) {
            m_inside = c != '"';
            m_closed = !m_inside;
            fill(c);
        } else if (c == m_sign) {
            ++m_row.values;
            m_at_start = true;
            m_closed = false;
        } else if (c == '"' && m_at_start) {
            m_inside = true;
            m_at_start = false;
        } else {
            m_amiss = m_amiss || c == '"' || (m_closed && c != ' ');
            m_at_start = m_at_start && c == ' ';
            fill(c);
        }
    }
    void fill(char c) {
        if (c != ' ' && c != '"') {
            m_row.filled = m_row.values;
        }
    }

    char m_sign;
    RowWidth m_row;
    std::size_t m_lines = 0;
    std::size_t m_quotes = 0;
    bool m_inside = false;
    bool m_at_start = true;
    bool m_closed = false;  // the value stood between quotation marks, which ended
    bool m_amiss = false;
};

// The lines of a file without their ends and the mark of the byte order.
class Lines {
public:
    explicit Lines(const std::string& path) : m_file(path, std::ios::binary) {}

    bool next(std::string& line) {
        if (!std::getline(m_file, line)) {
            return false;
        }
        if (!line.empty() && line.back() == '\r') {
            line.pop_back();
        }
        if (++m_number == 1 && line.starts_with("\xEF\xBB\xBF")) {
            line.erase(0, 3);
        }
        return true;
    }
    [[nodiscard]] std::size_t number() const { return m_number; }

private:
    std::ifstream m_file;
    std::size_t m_number = 0;
};

// The sign that makes so many columns of the headings; none where no sign does.
std::optional<char> sign_between(const std::string& path, std::size_t columns) {
    for (const char sign : kSigns) {
        RowWalk walk(sign);
        Lines lines(path);
        std::string line;
        walk.begin();
        do {
            if (!lines.next(line)) {
                break;
            }
            walk.take(line);
        } while (walk.inside());
        if (walk.row().values == columns) {
            return sign;
        }
    }
    return std::nullopt;
}

struct OddRows {
    std::size_t count = 0;
    std::vector<std::string> first_lines;

    void add(std::size_t line) {
        constexpr std::size_t kShown = 5;
        ++count;
        if (first_lines.size() < kShown) {
            first_lines.push_back(std::to_string(line));
        }
    }
    void tell(const std::string& where, std::string_view what, std::size_t columns, const char* remedy,
              Findings& findings) const {
        if (count == 0) {
            return;
        }
        findings.warn({where,
                       fmt::format("{} with {} values than there are columns, at line {}{}", counted(count, "row"),
                                   what, fmt::join(first_lines, ", "), count > first_lines.size() ? " and more" : ""),
                       counted(columns, "value") + " in each row", remedy});
    }
};

[[noreturn]] void report_quotes(const std::string& where, std::size_t line) {
    throw input_error(where, fmt::format("a quotation mark in line {} that opens or closes nothing", line),
                      "a table as RFC 4180 has it: a value with quotation marks stands between others, and each "
                      "within it is doubled",
                      "mend that line, or save the table anew with a spreadsheet program: the lines behind it would be "
                      "taken for part of it");
}

}  // namespace

void require_no_utf16(const std::string& where, const std::string& path) {
    std::array<char, 2> head{};
    std::ifstream(path, std::ios::binary).read(head.data(), head.size());
    const std::string_view mark(head.data(), head.size());
    if (mark == "\xFF\xFE" || mark == "\xFE\xFF") {
        throw input_error(where, "a table in UTF-16", "a CSV file in UTF-8",
                          "save it as CSV in UTF-8, not as Unicode text");
    }
}

void look_at_rows(const std::string& where, const std::string& path, std::size_t columns, Findings& findings) {
    const auto sign = sign_between(path, columns);
    if (!sign) {
        return;
    }
    RowWalk walk(*sign);
    Lines lines(path);
    std::string line;
    std::size_t begun = 0;
    OddRows too_few;
    OddRows too_many;
    while (lines.next(line)) {
        if (!walk.inside()) {
            walk.begin();
            begun = lines.number();
        }
        walk.take(line);
        if (walk.inside()) {
            continue;
        }
        if (walk.swallows()) {
            report_quotes(where, begun);
        }
        if (walk.row().filled > columns) {
            too_many.add(begun);
        } else if (walk.row().filled > 0 && walk.row().values < columns) {
            too_few.add(begun);
        }
    }
    if (walk.inside()) {
        report_quotes(where, begun);
    }
    too_few.tell(where, "fewer", columns, "mend these lines: what is missing counts as empty", findings);
    too_many.tell(where, "more", columns, "mend these lines: what stands behind the last column is not read", findings);
}

}  // namespace eaveshed
