#include <fmt/format.h>

#include <algorithm>
#include <numeric>

#include "eaveshed/document/document.hpp"
#include "eaveshed/words/text_lines.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kIndent = 2;
constexpr std::size_t kLabelWidth = 34;
constexpr std::size_t kValueWidth = 10;
constexpr std::size_t kUnitWidth = 5;
constexpr std::size_t kValueColumn = kIndent + 2 + kLabelWidth + 1;
constexpr std::size_t kFromColumn = kValueColumn + kValueWidth + 1 + kUnitWidth + 2;

std::string padded(const std::string& text, std::size_t width, bool right) {
    const std::string space(width > width_of(text) ? width - width_of(text) : 0, ' ');
    return right ? space + text : text + space;
}

// The lines, all but the first indented.
std::string hanging(const std::vector<std::string>& lines, std::size_t indent) {
    std::string text;
    for (const std::string& line : lines) {
        text += text.empty() ? line : '\n' + std::string(indent, ' ') + line;
    }
    return text;
}

struct TextPartWriter {
    std::string& text;

    void operator()(const Words& words) const {
        text += std::string(kIndent, ' ') + hanging(wrapped_lines(words.text, kPageColumns - kIndent), kIndent) + '\n';
    }

    void operator()(const Fact& fact) const {
        std::string line = fmt::format("{:>{}}{} {}", "", kIndent, fact.sign, padded(fact.label, kLabelWidth, false));
        const std::string value = shown(fact.value, fact.decimals);
        if (width_of(value) > kValueWidth) {
            // Long texts begin where the numbers' column begins and take the room of their source.
            line += ' ' + hanging(wrapped_lines(value, kPageColumns - kValueColumn), kValueColumn);
            line += fact.from.empty() ? "" : '\n' + std::string(kFromColumn, ' ');
        } else {
            line += ' ' + padded(value, kValueWidth, true) + ' ' + padded(fact.unit, kUnitWidth, false) + "  ";
        }
        line += hanging(wrapped_lines(fact.from, kPageColumns - kFromColumn), kFromColumn);
        line.erase(line.find_last_not_of(' ') + 1);
        text += line + '\n';
    }

    void operator()(const FactTable& table) const {
        std::vector<std::vector<std::string>> cells = header_of(table);
        const std::size_t header = cells.size();
        std::vector<bool> right(table.columns.size(), true);
        for (const auto& row : table.rows) {
            auto& line = cells.emplace_back();
            for (std::size_t i = 0; i < row.size(); ++i) {
                line.push_back(shown(row[i], table.columns[i].decimals));
                right[i] = right[i] && !std::holds_alternative<std::string>(row[i]);
            }
        }
        std::vector<std::size_t> widths(table.columns.size(), 0);
        for (const auto& row : cells) {
            for (std::size_t i = 0; i < row.size(); ++i) {
                widths[i] = std::max(widths[i], width_of(row[i]));
            }
        }
        for (std::size_t r = 0; r < cells.size(); ++r) {
            if (r == header) {
                const std::size_t all = std::accumulate(widths.begin(), widths.end(), 2 * (widths.size() - 1));
                text += std::string(kIndent + 2, ' ') + std::string(all, '-') + '\n';
            }
            std::string line(kIndent + 2, ' ');
            for (std::size_t i = 0; i < cells[r].size(); ++i) {
                line += (i == 0 ? "" : "  ") + padded(cells[r][i], widths[i], right[i]);
            }
            line.erase(line.find_last_not_of(' ') + 1);
            text += line + '\n';
        }
    }

private:
    // The labels' lines, the last of each on the last line.
    static std::vector<std::vector<std::string>> header_of(const FactTable& table) {
        std::vector<std::vector<std::string>> labels;
        std::size_t lines = 0;
        for (const FactColumn& column : table.columns) {
            auto& parts = labels.emplace_back();
            std::istringstream all(column.label);
            for (std::string part; std::getline(all, part);) {
                parts.push_back(part);
            }
            lines = std::max(lines, parts.size());
        }
        std::vector<std::vector<std::string>> header(lines, std::vector<std::string>(labels.size()));
        for (std::size_t i = 0; i < labels.size(); ++i) {
            for (std::size_t line = 0; line < labels[i].size(); ++line) {
                header[lines - labels[i].size() + line][i] = labels[i][line];
            }
        }
        return header;
    }
};

}  // namespace

std::string shown(const Value& value, int decimals) {
    if (const auto* const real = std::get_if<double>(&value)) {
        std::string text = fmt::format("{:.{}f}", *real, decimals);
        return text.find_first_not_of("-0.") == std::string::npos && text.front() == '-' ? text.substr(1) : text;
    }
    if (const auto* const whole = std::get_if<std::int64_t>(&value)) {
        return std::to_string(*whole);
    }
    if (const auto* const text = std::get_if<std::string>(&value)) {
        return printable(*text);
    }
    return "none";
}

std::string document_text(const Document& document) {
    std::string text = wrapped_text(document.title, kPageColumns, 0);
    if (!document.note.empty()) {
        text += wrapped_text(document.note, kPageColumns, 0);
    }
    for (const DocumentSection& section : document.sections) {
        text += '\n' + section.title + '\n';
        for (const DocumentPart& part : section.parts) {
            std::visit(TextPartWriter{text}, part);
        }
    }
    return text;
}

}  // namespace eaveshed
