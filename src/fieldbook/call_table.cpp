#include "eaveshed/fieldbook/call_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

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

std::string required_column(std::string_view heading, const VectorInfo& info, Findings& findings) {
    std::string found = column_for(heading, info, findings);
    if (found.empty()) {
        throw input_error(info.where, fmt::format("no column '{}'; there are {}", heading, listed(info.fields)),
                          fmt::format("a list as `eaveshed rank` writes it, with the columns '{}' and '{}'",
                                      CallHeadings::kParcel, CallHeadings::kStatus),
                          "name the columns so in the first row; their order counts nothing");
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

// The day of a date such as 2026-11-25 or 2026/11/25, with or without a time behind it; empty for any other.
std::string day_of(const std::string& text) {
    constexpr std::string_view kForm = "0000-00-00";
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
        CallEntry entry{.row_number = static_cast<std::int64_t>(table.rows),
                        .parcel_id = cell_text(feature.values[0]),
                        .status = cell_text(feature.values[1]),
                        .date = day_of(cell_text(feature.values[2]))};
        if (entry.status.empty()) {
            continue;  // nothing said
        }
        if (entry.parcel_id.empty()) {
            ++table.without_id;
            continue;
        }
        table.entries.push_back(std::move(entry));
    }
    return table;
}

}  // namespace eaveshed
