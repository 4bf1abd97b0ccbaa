#include "read_value.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

#include "eaveshed/core/calendar.hpp"
#include "eaveshed/core/spelling.hpp"
#include "value_words.hpp"

namespace eaveshed {

namespace {

std::string usual_remedy(const Setting& setting) {
    if (setting.required) {
        return "correct the value";
    }
    return fmt::format("correct the value, or leave the line out (then: {})", default_text(setting));
}

Refusal refusal(const toml::node& node, const Setting& setting, std::string wanted) {
    return {&node, "", shown(node), std::move(wanted), usual_remedy(setting)};
}

// A finite number, or text with a unit where the setting has one.
std::optional<double> number_of(const toml::node& node, const Setting& setting) {
    std::optional<double> number;
    if (const auto* text = node.as_string()) {
        const Unit* unit = convertible_unit(setting);
        number = unit != nullptr ? in_unit(text->get(), *unit) : std::nullopt;
    } else if (node.is_integer() || node.is_floating_point()) {
        number = node.value<double>();
    }
    return number && std::isfinite(*number) ? number : std::nullopt;
}

std::optional<Refusal> read_number(const toml::node& node, const Setting& setting, double& target) {
    const auto number = number_of(node, setting);
    if (!number || !setting.range.holds(*number)) {
        Refusal refused = refusal(node, setting, wanted_text(setting));
        if (number && node.is_string()) {
            refused.found += fmt::format(" ({} {})", number_text(*number), setting.unit);
        }
        return refused;
    }
    target = *number;
    return std::nullopt;
}

std::optional<Refusal> read_text(const toml::node& node, const Setting& setting, std::string& target) {
    const auto* text = node.as_string();
    if (text == nullptr || !is_plain(text->get())) {
        return refusal(node, setting, fmt::format("{}, on one line, not empty", wanted_text(setting)));
    }
    target = text->get();
    return std::nullopt;
}

std::optional<Refusal> read_date(const toml::node& node, const Setting& setting, std::string& target) {
    std::string text;
    if (const auto* words = node.as_string()) {
        text = words->get();
    } else if (const auto* date = node.as_date()) {
        text = shown(*date);
    }
    const bool valid =
        std::ranges::any_of(std::array{Calendar::standard, Calendar::noleap, Calendar::days_360},
                            [&text](Calendar calendar) { return date_from_text(text, calendar).has_value(); });
    if (!valid) {
        return refusal(node, setting, R"(a date such as "1991-10-01" or "1991-10")");
    }
    target = text;
    return std::nullopt;
}

std::optional<Refusal> read_field_unit(const toml::node& node, const Setting& setting, std::string& target) {
    const Dimension wanted = convertible_unit(setting)->dimension;
    const auto* const text = node.as_string();
    const Unit* const unit = text != nullptr ? find_unit(text->get()) : nullptr;
    if (unit != nullptr && unit->dimension == wanted) {
        target = unit->name();
        return std::nullopt;
    }
    Refusal refused = refusal(node, setting, fmt::format("a unit of {} ({})", to_text(wanted), unit_names(wanted)));
    refused.found += unit != nullptr ? fmt::format(", a unit of {}", to_text(unit->dimension)) : "";
    refused.remedy =
        fmt::format("give the unit that the field's numbers are in, or leave it out (then: {})", setting.unit);
    return refused;
}

// One entry of a table that names a field and its unit.
std::optional<Refusal> read_quantity_part(std::string_view key, const toml::node& node, const Setting& setting,
                                          QuantityField& target) {
    if (key == "field") {
        return read_text(node, setting, target.field);
    }
    if (key == "unit") {
        return read_field_unit(node, setting, target.unit);
    }
    return Refusal{&node, "", "an unknown entry", "field and unit", "leave it out"};
}

std::optional<Refusal> read_quantity(const toml::node& node, const Setting& setting, QuantityField& target) {
    QuantityField read;
    const auto* const table = node.as_table();
    if (table == nullptr) {
        if (auto refused = read_text(node, setting, read.field)) {
            return refused;
        }
    } else {
        for (const auto& [key, value] : *table) {
            if (auto refused = read_quantity_part(key.str(), value, setting, read)) {
                refused->part = key.str();
                return refused;
            }
        }
        if (!read.given()) {
            Refusal refused = refusal(node, setting, wanted_text(setting));
            refused.found = "a table without a field";
            return refused;
        }
    }
    target = std::move(read);
    return std::nullopt;
}

// Null for a text that the closed list has, else what is wrong with it.
std::optional<Refusal> check_word(const toml::node& node, const Setting& setting, const std::string& word) {
    std::vector<std::string_view> names;
    for (const Term& term : setting.words) {
        names.push_back(term.name);
    }
    if (setting.kind != Kind::words || std::ranges::find(names, word) != names.end()) {
        return std::nullopt;
    }
    const std::string_view nearest = closest_name(word, names);
    return Refusal{&node, "", shown(node), fmt::format("one of {}", fmt::join(names, ", ")),
                   nearest.empty() ? "correct it, or leave it out" : fmt::format("did you mean \"{}\"?", nearest)};
}

// A list of texts; paths may also be one text.
std::optional<Refusal> read_texts(const toml::node& node, const Setting& setting, std::vector<std::string>& target) {
    std::vector<std::string> texts;
    const auto* array = node.as_array();
    if (array == nullptr && setting.kind == Kind::paths) {
        if (auto refused = read_text(node, setting, texts.emplace_back())) {
            return refused;
        }
    } else if (array == nullptr || array->empty()) {
        return refusal(node, setting, fmt::format("{}, not empty", wanted_text(setting)));
    } else {
        for (const toml::node& part : *array) {
            if (auto refused = read_text(part, setting, texts.emplace_back())) {
                return refused;
            }
            if (auto refused = check_word(part, setting, texts.back())) {
                return refused;
            }
        }
    }
    target = std::move(texts);
    return std::nullopt;
}

std::optional<Refusal> read_months(const toml::node& node, const Setting& setting, std::vector<int>& target) {
    const std::string wanted = R"(a list of different months, such as [11, 12, 1] or ["Nov", "Dec", "Jan"])";
    const auto* array = node.as_array();
    if (array == nullptr || array->empty()) {
        return refusal(node, setting, wanted);
    }
    std::vector<int> months;
    for (const toml::node& part : *array) {
        std::optional<int> month;
        if (const auto* text = part.as_string()) {
            month = month_named(text->get());
        } else if (const auto* number = part.as_integer();
                   number != nullptr && number->get() >= 1 && number->get() <= 12) {
            month = static_cast<int>(number->get());
        }
        if (!month || std::ranges::find(months, *month) != months.end()) {
            return refusal(part, setting, wanted);
        }
        months.push_back(*month);
    }
    target = std::move(months);
    return std::nullopt;
}

std::optional<Refusal> read_twelve(const toml::node& node, const Setting& setting, std::array<double, 12>& target) {
    std::array<double, 12> values{};
    if (const auto* array = node.as_array()) {
        if (array->size() != values.size()) {
            return refusal(node, setting, "one number or twelve, January first");
        }
        for (std::size_t month = 0; month < values.size(); ++month) {
            if (auto refused = read_number((*array)[month], setting, values[month])) {
                return refused;
            }
        }
    } else {
        if (auto refused = read_number(node, setting, values.front())) {
            return refused;
        }
        values.fill(values.front());
    }
    target = values;
    return std::nullopt;
}

std::optional<Refusal> read_coefficients(const toml::node& node, const Setting& setting,
                                         std::map<std::string, double>& target) {
    const auto* table = node.as_table();
    if (table == nullptr) {
        return refusal(node, setting, fmt::format("a table, [{}.{}]", setting.section, setting.key));
    }
    std::map<std::string, double> merged = target;
    for (const auto& [key, value] : *table) {
        if (auto refused = read_number(value, setting, merged[std::string(key.str())])) {
            refused->part = key.str();
            refused->remedy = "correct the value";
            return refused;
        }
    }
    target = std::move(merged);
    return std::nullopt;
}

std::optional<Refusal> read_choice(const toml::node& node, const Setting& setting, Settings& settings,
                                   std::size_t item) {
    const auto& choice = std::get<ChoiceReach>(setting.access);
    const auto* text = node.as_string();
    std::vector<std::string_view> names;
    for (std::size_t i = choice.first; i < choice.terms.size(); ++i) {
        names.push_back(choice.terms[i].name);
        if (text != nullptr && text->get() == choice.terms[i].name) {
            choice.set(settings, item, i);
            return std::nullopt;
        }
    }
    Refusal refused = refusal(node, setting, wanted_text(setting));
    const std::string_view nearest = text != nullptr ? closest_name(text->get(), names) : std::string_view{};
    if (!nearest.empty()) {
        refused.remedy = fmt::format("did you mean \"{}\"?", nearest);
    }
    return refused;
}

struct ValueReader {
    const toml::node& node;
    const Setting& setting;
    Settings& settings;
    std::size_t item;

    std::optional<Refusal> operator()(const Reach<double>& reach) const {
        return read_number(node, setting, reach.edit(settings, item));
    }
    std::optional<Refusal> operator()(const Reach<std::optional<double>>& reach) const {
        double value = 0.0;
        auto refused = read_number(node, setting, value);
        if (!refused) {
            reach.edit(settings, item) = value;
        }
        return refused;
    }
    std::optional<Refusal> operator()(const Reach<int>& reach) const {
        const auto number = number_of(node, setting);
        if (!number || !setting.range.holds(*number) || *number != std::floor(*number)) {
            return refusal(node, setting, wanted_text(setting));
        }
        reach.edit(settings, item) = static_cast<int>(*number);
        return std::nullopt;
    }
    std::optional<Refusal> operator()(const Reach<bool>& reach) const {
        const auto* value = node.as_boolean();
        if (value == nullptr) {
            return refusal(node, setting, "true or false, without quotes");
        }
        reach.edit(settings, item) = value->get();
        return std::nullopt;
    }
    std::optional<Refusal> operator()(const Reach<std::string>& reach) const {
        std::string& target = reach.edit(settings, item);
        if (setting.kind == Kind::date) {
            return read_date(node, setting, target);
        }
        if (setting.kind == Kind::calendar && !(node.is_string() && calendar_from_text(node.as_string()->get()))) {
            return refusal(node, setting, wanted_text(setting));
        }
        return read_text(node, setting, target);
    }
    std::optional<Refusal> operator()(const Reach<QuantityField>& reach) const {
        return read_quantity(node, setting, reach.edit(settings, item));
    }
    std::optional<Refusal> operator()(const Reach<std::vector<std::string>>& reach) const {
        return read_texts(node, setting, reach.edit(settings, item));
    }
    std::optional<Refusal> operator()(const Reach<std::vector<int>>& reach) const {
        return read_months(node, setting, reach.edit(settings, item));
    }
    std::optional<Refusal> operator()(const Reach<std::array<double, 12>>& reach) const {
        return read_twelve(node, setting, reach.edit(settings, item));
    }
    std::optional<Refusal> operator()(const Reach<std::map<std::string, double>>& reach) const {
        return read_coefficients(node, setting, reach.edit(settings, item));
    }
    std::optional<Refusal> operator()(const ChoiceReach& /*reach*/) const {
        return read_choice(node, setting, settings, item);
    }
};

}  // namespace

std::optional<Refusal> read_value(const toml::node& node, const Setting& setting, Settings& settings,
                                  std::size_t item) {
    return std::visit(ValueReader{node, setting, settings, item}, setting.access);
}

}  // namespace eaveshed
