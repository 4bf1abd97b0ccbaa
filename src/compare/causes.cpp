#include "eaveshed/compare/causes.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>
#include <set>
#include <string_view>

#include "eaveshed/compare/compared_table.hpp"
#include "eaveshed/record/output_rows.hpp"
#include "eaveshed/settings/input_role.hpp"
#include "eaveshed/settings/table.hpp"

namespace eaveshed {

namespace {

constexpr std::string_view kSetting = "setting.";

// Rows of a record by what is left of their key without the prefix, in the order of the record; what stands several
// times under one key is one text.
class RecordPart {
public:
    RecordPart(const ResultReader& file, std::string_view prefix) {
        for (const auto& [key, value] : file.record()) {
            if (!key.starts_with(prefix)) {
                continue;
            }
            std::string name = key.substr(prefix.size());
            const auto [at, is_new] = m_values.try_emplace(name, value);
            if (is_new) {
                m_names.push_back(std::move(name));
            } else {
                at->second += ", " + value;
            }
        }
    }
    [[nodiscard]] const std::vector<std::string>& names() const { return m_names; }
    [[nodiscard]] std::optional<std::string> value(const std::string& name) const {
        const auto found = m_values.find(name);
        return found == m_values.end() ? std::nullopt : std::optional(found->second);
    }

private:
    std::vector<std::string> m_names;
    std::map<std::string, std::string> m_values;
};

// Under each prefix of the record what differs, the names of the file after first; `shown` is put before the names.
void add_differences(const ResultReader& before, const ResultReader& after, std::string_view prefix,
                     std::string_view shown, std::vector<NamedChange>& changes) {
    const RecordPart a(before, prefix);
    const RecordPart b(after, prefix);
    std::vector<std::string> names = b.names();
    for (const std::string& name : a.names()) {
        if (!b.value(name)) {
            names.push_back(name);
        }
    }
    for (const std::string& name : names) {
        if (a.value(name) != b.value(name)) {
            changes.push_back({std::string(shown) + name, a.value(name), b.value(name)});
        }
    }
}

// Of "tanks.2.volume_m3" "tanks.volume_m3".
std::string without_number(const std::string& name) {
    const std::size_t first = name.find('.');
    const std::size_t second = first == std::string::npos ? first : name.find('.', first + 1);
    if (second == std::string::npos || name.find_first_not_of("0123456789", first + 1) != second) {
        return name;
    }
    return name.substr(0, first) + name.substr(second);
}

// Files are told as inputs; the name of the result says nothing of what is in it.
bool is_no_cause(const NamedChange& change) {
    const Setting* const setting = find_setting(without_number(change.name));
    return change.name == "basin.output" || (setting != nullptr && setting->role.has_value());
}

bool same_content(const RecordedInput& a, const RecordedInput& b) {
    return a.sha256 == b.sha256 && a.size == b.size;
}

// Takes the first of `inputs` for which `is_it` holds.
template <typename Test>
std::optional<RecordedInput> take(std::vector<RecordedInput>& inputs, Test&& is_it) {
    const auto found = std::ranges::find_if(inputs, is_it);
    if (found == inputs.end()) {
        return std::nullopt;
    }
    RecordedInput input = std::move(*found);
    inputs.erase(found);
    return input;
}

std::vector<InputChange> input_changes(std::vector<RecordedInput> before, std::vector<RecordedInput> after) {
    std::vector<InputChange> changes;
    std::vector<RecordedInput> new_paths;
    for (RecordedInput& now : after) {
        auto then = take(
            before, [&](const RecordedInput& input) { return input.setting == now.setting && input.path == now.path; });
        if (!then) {
            new_paths.push_back(std::move(now));
        } else if (!same_content(*then, now)) {
            const bool untouched = then->size == now.size && then->modified == now.modified;
            changes.push_back({untouched ? InputFate::content_or_strict : InputFate::content, now.setting,
                               std::move(then), std::move(now)});
        }
    }
    std::map<std::string, int> news_of;
    for (const RecordedInput& now : new_paths) {
        ++news_of[now.setting];
    }
    for (RecordedInput& now : new_paths) {
        auto then = take(before, [&](const RecordedInput& input) {
            return input.setting == now.setting && same_content(input, now);
        });
        if (then) {
            changes.push_back({InputFate::renamed, now.setting, std::move(then), std::move(now)});
            continue;
        }
        const auto of_setting = [&](const RecordedInput& input) { return input.setting == now.setting; };
        if (std::ranges::count_if(before, of_setting) == 1 && news_of.at(now.setting) == 1) {
            then = take(before, of_setting);  // one file went, one came: it took the other's place
        }
        const InputFate fate = then ? InputFate::content : InputFate::added;
        changes.push_back({fate, now.setting, std::move(then), std::move(now)});
    }
    for (RecordedInput& then : before) {
        changes.push_back({InputFate::removed, then.setting, std::move(then), std::nullopt});
    }
    return changes;
}

// The columns of the table that hold what was measured, and when: not what became of the row.
std::vector<std::string> measured_columns(const ResultReader& file) {
    std::set<std::string_view> others;
    OverrideRow::list_own_columns([&](const auto&... columns) { (others.insert(columns.field.name), ...); });
    others.erase(column_name(&OverrideRow::date));
    const std::vector<std::string> there = file.columns(std::string(OverrideRow::kTable.name));
    std::vector<std::string> names;
    for (const Column& column : columns_of<OverrideRow>()) {
        const std::string name(column.field.name);
        if (!others.contains(column.field.name) && std::ranges::find(there, name) != there.end()) {
            names.push_back(name);
        }
    }
    return names;
}

std::string plain_text(const Value& value) {
    const auto* const real = std::get_if<double>(&value);
    return real != nullptr ? fmt::format("{}", *real) : text_in(value);
}

using MeasuredTexts = std::map<std::pair<bool, std::string>, std::string>;

// What holds of each roof or parcel: rows that were applied or carried over.
MeasuredTexts measured_texts(const ResultReader& file) {
    const std::string table(OverrideRow::kTable.name);
    MeasuredTexts texts;
    if (!file.has_table(table)) {
        return texts;
    }
    const std::vector<std::string> measured = measured_columns(file);
    std::vector<std::string> columns{std::string(column_name(&OverrideRow::applied_to)),
                                     std::string(column_name(&OverrideRow::parcel_id))};
    columns.insert(columns.end(), measured.begin(), measured.end());
    for (RowCursor rows = file.rows(table, columns, RowOrder::number); rows.next();) {
        const std::vector<Value>& values = rows.values();
        const std::string id = text_in(values[0]);
        if (id.empty()) {
            continue;
        }
        std::string& text = texts[{!std::holds_alternative<std::monostate>(values[1]), id}];
        for (std::size_t i = 0; i < measured.size(); ++i) {
            if (const std::string value = plain_text(values[i + 2]); !value.empty()) {
                text += fmt::format("{}{}={}", text.empty() ? "" : ", ", measured[i], value);
            }
        }
    }
    return texts;
}

std::vector<MeasuredChange> measured_changes(const ResultReader& before, const ResultReader& after) {
    const MeasuredTexts a = measured_texts(before);
    const MeasuredTexts b = measured_texts(after);
    std::vector<MeasuredChange> changes;
    for (const auto& [key, text] : b) {
        const auto then = a.find(key);
        if (then == a.end() || then->second != text) {
            changes.push_back({key.first, key.second, then == a.end() ? std::string() : then->second, text});
        }
    }
    for (const auto& [key, text] : a) {
        if (!b.contains(key)) {
            changes.push_back({key.first, key.second, text, {}});
        }
    }
    return changes;
}

}  // namespace

Causes causes_of(const ResultReader& before, const ResultReader& after) {
    Causes causes;
    add_differences(before, after, "program.", "program ", causes.program);
    add_differences(before, after, "library.", "library ", causes.program);
    add_differences(before, after, kSetting, "", causes.settings);
    std::erase_if(causes.settings, is_no_cause);
    causes.inputs = input_changes(recorded_inputs(before), recorded_inputs(after));
    for (const std::string_view part : {"crs.", "rain.", "terrain."}) {
        add_differences(before, after, part, part, causes.found);
    }
    causes.measured = measured_changes(before, after);
    return causes;
}

}  // namespace eaveshed
