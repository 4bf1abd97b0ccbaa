// Settings and their values in words.
#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include <fmt/format.h>

#include "eaveshed/settings/table.hpp"

namespace eaveshed {

namespace {

// As TOML writes it. Control characters do not occur: they are refused when settings are read.
std::string quoted(const std::string& text) {
    std::string quoted = "\"";
    for (const char c : text) {
        if (c == '"' || c == '\\') {
            quoted += '\\';
        }
        quoted += c;
    }
    return quoted + '"';
}

// Parts by commas, each as `write` puts it.
template <typename List, typename Write>
std::string joined(const List& list, Write write) {
    std::string text;
    for (const auto& part : list) {
        text += text.empty() ? "" : ", ";
        text += write(part);
    }
    return text;
}

struct ValueWriter {
    const Settings& settings;
    std::size_t item;

    std::string operator()(const Reach<double>& reach) const { return number_text(reach.get(settings, item)); }
    std::string operator()(const Reach<std::optional<double>>& reach) const {
        const auto& value = reach.get(settings, item);
        return value ? number_text(*value) : std::string{};
    }
    std::string operator()(const Reach<int>& reach) const { return std::to_string(reach.get(settings, item)); }
    std::string operator()(const Reach<bool>& reach) const { return reach.get(settings, item) ? "true" : "false"; }
    std::string operator()(const Reach<std::string>& reach) const { return reach.get(settings, item); }
    // A name that could be taken for a table stands in one.
    std::string operator()(const Reach<QuantityField>& reach) const {
        const QuantityField& of = reach.get(settings, item);
        if (of.unit.empty() && !of.field.starts_with('{')) {
            return of.field;
        }
        return fmt::format("{{ field = {}{} }}", quoted(of.field),
                           of.unit.empty() ? "" : ", unit = " + quoted(of.unit));
    }
    std::string operator()(const Reach<std::vector<std::string>>& reach) const {
        const auto& list = reach.get(settings, item);
        return list.empty() ? std::string{} : fmt::format("[{}]", joined(list, quoted));
    }
    std::string operator()(const Reach<std::vector<int>>& reach) const {
        const auto& list = reach.get(settings, item);
        return list.empty() ? std::string{} : fmt::format("[{}]", fmt::join(list, ", "));
    }
    std::string operator()(const Reach<std::array<double, 12>>& reach) const {
        const auto& list = reach.get(settings, item);
        const bool equal = std::ranges::all_of(list, [&list](double value) { return value == list.front(); });
        return equal ? number_text(list.front()) : fmt::format("[{}]", joined(list, number_text));
    }
    std::string operator()(const Reach<std::map<std::string, double>>& reach) const {
        return joined(reach.get(settings, item),
                      [](const auto& entry) { return fmt::format("{} = {}", entry.first, number_text(entry.second)); });
    }
    std::string operator()(const ChoiceReach& reach) const {
        return std::string(reach.terms[reach.get(settings, item)].name);
    }
};

std::string kind_text(const Setting& setting) {
    switch (setting.kind) {
        case Kind::number: return "number";
        case Kind::whole_number: return "whole number";
        case Kind::flag: return "true or false";
        case Kind::text: return "text";
        case Kind::field: return "field name";
        case Kind::quantity: return "field name, or field and unit";
        case Kind::fields: return "list of field names";
        case Kind::path: return "file";
        case Kind::paths: return "file, list of files or glob";
        case Kind::date: return "date";
        case Kind::calendar: return "standard, noleap, 360_day or a CF synonym";
        case Kind::months: return "list of months, 1 to 12 or names";
        case Kind::twelve: return "number or twelve numbers";
        case Kind::coefficients: return "table of numbers";
        case Kind::words: return "list of words";
        case Kind::choice: break;
    }
    const auto& choice = std::get<ChoiceReach>(setting.access);
    return fmt::format("one of {}",
                       joined(choice.terms.subspan(choice.first), [](const Term& term) { return term.name; }));
}

std::string wanted_number(const Setting& setting) {
    const Unit* unit = convertible_unit(setting);
    std::string wanted = setting.kind == Kind::whole_number ? "a whole number" : "a number";
    if (unit != nullptr) {
        wanted += fmt::format(" in {}", setting.unit);
    }
    if (setting.range.limited()) {
        wanted += fmt::format(", {}", to_text(setting.range));
    }
    if (unit != nullptr) {
        wanted += fmt::format(", or text with a number and a unit ({})", unit_names(unit->dimension));
    }
    return wanted;
}

}  // namespace

std::string number_text(double value) {
    std::array<char, 32> buffer{};
    const double size = std::abs(value);
    const auto form =
        size == 0.0 || (size >= 1.0e-5 && size < 1.0e15) ? std::chars_format::fixed : std::chars_format::general;
    const auto [end, fault] = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value, form);
    return fault == std::errc{} ? std::string(buffer.data(), end) : std::string{};
}

std::string to_text(const Range& range) {
    const bool low = std::isfinite(range.low);
    const bool high = std::isfinite(range.high);
    if (low && range.low_open) {
        return high ? fmt::format("above {}, up to {}", number_text(range.low), number_text(range.high))
                    : fmt::format("above {}", number_text(range.low));
    }
    if (low) {
        return high ? fmt::format("{} to {}", number_text(range.low), number_text(range.high))
                    : fmt::format("{} or more", number_text(range.low));
    }
    return high ? fmt::format("up to {}", number_text(range.high)) : "";
}

std::string value_text(const Setting& setting, const Settings& settings, std::size_t item) {
    return std::visit(ValueWriter{settings, item}, setting.access);
}

std::string default_text(const Setting& setting) {
    if (setting.required) {
        return "required";
    }
    // A fresh project with one fresh table in each repeated section.
    static const Settings kFresh = [] {
        Settings fresh;
        fresh.exclusions.resize(1);
        fresh.tanks.assign(1, TankOption{});
        fresh.scenarios.resize(1);
        return fresh;
    }();
    std::string value = value_text(setting, kFresh);
    if (!value.empty()) {
        return value;
    }
    return setting.absent.empty() ? "none" : std::string(setting.absent);
}

std::string allowed_text(const Setting& setting) {
    std::string range = to_text(setting.range);
    if (setting.kind == Kind::number && !range.empty()) {
        return range;
    }
    if (setting.kind == Kind::whole_number && !range.empty()) {
        return fmt::format("whole number, {}", range);
    }
    return range.empty() ? kind_text(setting) : fmt::format("{}, each {}", kind_text(setting), range);
}

std::string wanted_text(const Setting& setting) {
    switch (setting.kind) {
        case Kind::number:
        case Kind::whole_number:
        case Kind::twelve:
        case Kind::coefficients: return wanted_number(setting);
        case Kind::quantity:
            return fmt::format(R"(a field name, or {{ field = "NAME", unit = "UNIT" }} with a unit of {} ({}))",
                               to_text(convertible_unit(setting)->dimension),
                               unit_names(convertible_unit(setting)->dimension));
        case Kind::field:
        case Kind::fields:
        case Kind::path:
        case Kind::paths:
        case Kind::date:
        case Kind::words:
        case Kind::months: return fmt::format("a {}", allowed_text(setting));
        case Kind::flag:
        case Kind::text:
        case Kind::calendar:
        case Kind::choice: break;
    }
    return allowed_text(setting);
}

}  // namespace eaveshed
