#include "eaveshed/fieldbook/call_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "eaveshed/core/calendar.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

// "Next step", "next_step" and "NEXT-STEP" are "nextstep".
std::string plain_heading(std::string_view heading) {
    std::string plain = lower_case(heading);
    std::erase_if(plain, [](char c) { return c == ' ' || c == '_' || c == '-' || c == '\t'; });
    return plain;
}

// The column of the file under a heading; empty where there is none.
std::string column_for(std::string_view heading, const VectorInfo& info, Findings& findings) {
    std::string found;
    for (const std::string& field : info.fields) {
        if (!same_heading(field, heading)) {
            continue;
        }
        if (found.empty()) {
            found = field;
        } else {
            findings.warn({info.where, fmt::format("the columns '{}' and '{}'", printable(found), printable(field)),
                           "one of them", "only the first is used"});
        }
    }
    return found;
}

// Of a table that was read with the wrong sign between its columns.
bool parted_by_semicolons(const VectorInfo& info) {
    return std::ranges::any_of(info.fields,
                               [](const std::string& field) { return field.find(';') != std::string::npos; });
}

std::string required_column(std::string_view heading, const VectorInfo& info, Findings& findings) {
    std::string found = column_for(heading, info, findings);
    if (found.empty()) {
        throw input_error(
            info.where, fmt::format("no column '{}'; there are {}", heading, listed(info.fields)),
            fmt::format("a list as `eaveshed rank` writes it, with the columns '{}' and '{}'", CallHeadings::kParcel,
                        CallHeadings::kStatus),
            parted_by_semicolons(info)
                ? "save the list with commas between the columns, or take the commas out of the headings: "
                  "with both in the first row it is read as one column"
                : "name the columns so in the first row; their order counts nothing");
    }
    return found;
}

// What a cell holds, without blanks around it and without the apostrophe that keeps a text from being a formula.
std::string cell_text(const std::optional<std::string>& value) {
    constexpr std::string_view kBlanks = " \t\r\n";
    std::string_view text = value ? std::string_view(*value) : std::string_view();
    if (text.size() > 1 && text.front() == '\'' &&
        std::string_view("=+-@\t\r\n").find(text[1]) != std::string_view::npos) {
        text.remove_prefix(1);
    }
    const auto first = text.find_first_not_of(kBlanks);
    if (first == std::string_view::npos) {
        return {};
    }
    return std::string(text.substr(first, text.find_last_not_of(kBlanks) - first + 1));
}

// "25.11.2026" as "2026-11-25": points between the parts are written in the order day, month, year alone (common
// practice). Empty for any other form: with slashes either may come first.
std::string day_with_points(const std::string& text) {
    const auto first = text.find('.');
    const auto second = first == std::string::npos ? first : text.find('.', first + 1);
    if (second == std::string::npos || first == 0 || first > 2 || second - first < 2 || second - first > 3 ||
        text.size() - second != 5) {
        return {};
    }
    const std::string digits =
        text.substr(0, first) + text.substr(first + 1, second - first - 1) + text.substr(second + 1);
    if (digits.find_first_not_of("0123456789") != std::string::npos) {
        return {};
    }
    return fmt::format("{}-{:0>2}-{:0>2}", text.substr(second + 1), text.substr(first + 1, second - first - 1),
                       text.substr(0, first));
}

// The day of a date such as 2026-11-25, 2026/11/25 or 25.11.2026, the first two with or without a time behind; empty
// for any other.
std::string written_day(const std::string& text) {
    constexpr std::string_view kForm = "0000-00-00";
    if (std::string day = day_with_points(text); !day.empty()) {
        return day;
    }
    if (text.size() < kForm.size()) {
        return {};
    }
    std::string day = text.substr(0, kForm.size());
    for (std::size_t i = 0; i < kForm.size(); ++i) {
        const bool digit = day[i] >= '0' && day[i] <= '9';
        const bool dash = day[i] == '-' || day[i] == '/';
        if (kForm[i] == '0' ? !digit : !dash) {
            return {};
        }
        day[i] = kForm[i] == '0' ? day[i] : '-';
    }
    const bool ends = text.size() == day.size() || text[day.size()] == 'T' || text[day.size()] == ' ';
    return ends ? day : std::string();
}

// Empty for a day that no calendar has, too: 2026-02-30.
std::string day_of(const std::string& text) {
    const std::string day = written_day(text);
    return date_from_text(day, Calendar::standard) ? day : std::string();
}

}  // namespace

bool same_heading(std::string_view a, std::string_view b) {
    return plain_heading(a) == plain_heading(b);
}

CallTable read_call_table(FeatureSource& source, Findings& findings) {
    CallTable table;
    table.info = source.info();
    source.begin({required_column(CallHeadings::kParcel, table.info, findings),
                  required_column(CallHeadings::kStatus, table.info, findings),
                  column_for(CallHeadings::kDate, table.info, findings)});
    Feature feature;
    while (source.next(feature)) {
        if (++table.rows > kMostCallRows) {
            throw input_error(table.info.where, fmt::format("more than {} rows", kMostCallRows),
                              "a call list, with a row for a parcel", "name the list itself");
        }
        const std::string date = cell_text(feature.values[2]);
        CallEntry entry{.row_number = static_cast<std::int64_t>(table.rows),
                        .parcel_id = cell_text(feature.values[0]),
                        .status = cell_text(feature.values[1]),
                        .date = day_of(date)};
        if (entry.status.empty()) {
            continue;  // nothing said
        }
        if (entry.parcel_id.empty()) {
            ++table.without_id;
            continue;
        }
        if (entry.date.empty() && !date.empty()) {
            ++table.dates_not_understood;
        }
        table.entries.push_back(std::move(entry));
    }
    return table;
}

}  // namespace eaveshed
