#include "eaveshed/project/from_rows.hpp"

#include <algorithm>
#include <charconv>
#include <string_view>

#include <toml++/toml.h>

#include "eaveshed/settings/table.hpp"
#include "settings_document.hpp"

namespace eaveshed {

namespace {

// What a value is as TOML: numbers, lists, tables and truth values as they are written there, else a text.
bool written_as_toml(Kind kind, const std::string& value) {
    switch (kind) {
        case Kind::quantity: return value.starts_with('{');
        case Kind::number:
        case Kind::whole_number:
        case Kind::flag:
        case Kind::fields:
        case Kind::paths:
        case Kind::months:
        case Kind::words:
        case Kind::twelve:
        case Kind::coefficients: return true;
        case Kind::text:
        case Kind::field:
        case Kind::path:
        case Kind::date:
        case Kind::calendar:
        case Kind::choice: break;
    }
    return false;
}

// Puts the value under the key; one that is no TOML goes in as text, which its reader then refuses with its reasons.
void put(toml::table& table, std::string_view key, const std::string& value, bool as_toml) {
    if (as_toml && !nests_too_deeply(value)) {
        try {
            toml::table parsed = toml::parse("x = " + value);
            if (toml::node* const node = parsed.get("x"); node != nullptr && parsed.size() == 1) {
                node->visit([&](auto& inner) { table.insert_or_assign(key, std::move(inner)); });
                return;
            }
        } catch (const toml::parse_error&) {
        }
    }
    table.insert_or_assign(key, value);
}

// The word for "not given" among the choices.
bool is_not_given(const Setting& setting, std::string_view value) {
    const auto* const choice = std::get_if<ChoiceReach>(&setting.access);
    if (choice == nullptr) {
        return value.empty();
    }
    const auto unwritten = choice->terms.first(choice->first);
    return value.empty() || std::ranges::any_of(unwritten, [&](const Term& term) { return term.name == value; });
}

std::string_view up_to_dot(std::string_view& rest) {
    const auto dot = rest.find('.');
    const std::string_view part = rest.substr(0, dot);
    rest.remove_prefix(dot == std::string_view::npos ? rest.size() : dot + 1);
    return part;
}

class Document {
public:
    // False when the row cannot be placed.
    bool add(std::string_view name, const std::string& value) {
        std::string_view rest = name;
        const std::string_view section_name = up_to_dot(rest);
        const Section* const section = find_section(section_name);
        if (section == nullptr || rest.empty()) {
            return false;
        }
        toml::table* const table = section->repeated ? item_of(section_name, up_to_dot(rest)) : part(section_name);
        return table != nullptr && add_to(*table, *section, rest, value);
    }
    [[nodiscard]] const toml::table& document() const { return m_document; }

private:
    toml::table* part(std::string_view name) { return part_of(m_document, name); }

    static toml::table* part_of(toml::table& table, std::string_view name) {
        if (!table.contains(name)) {
            table.insert(name, toml::table{});
        }
        return table.get(name)->as_table();
    }

    toml::table* item_of(std::string_view section, std::string_view number) {
        std::size_t item = 0;
        const auto [end, fault] = std::from_chars(number.data(), number.data() + number.size(), item);
        if (fault != std::errc{} || end != number.data() + number.size()) {
            return nullptr;
        }
        if (!m_document.contains(section)) {
            m_document.insert(section, toml::array{});
        }
        toml::array& items = *m_document.get(section)->as_array();
        if (item == items.size() + 1) {
            items.push_back(toml::table{});
        }
        return item >= 1 && item <= items.size() ? items.get(item - 1)->as_table() : nullptr;
    }

    static bool add_to(toml::table& table, const Section& section, std::string_view key, const std::string& value) {
        const Setting* const whole = find_setting(section.name, key);
        if (whole != nullptr) {
            if (!is_not_given(*whole, value)) {
                put(table, key, value, written_as_toml(whole->kind, value));
            }
            return true;
        }
        std::string_view entry = key;
        const std::string_view group = up_to_dot(entry);
        const Setting* const setting = find_setting(section.name, group);
        if (setting == nullptr || setting->kind != Kind::coefficients) {
            return false;
        }
        put(*part_of(table, group), entry, value, true);
        return true;
    }

    toml::table m_document;
};

}  // namespace

std::optional<Settings> settings_from_rows(std::span<const std::pair<std::string, std::string>> rows,
                                           const std::string& where, Findings& findings) {
    Document document;
    bool placed = true;
    for (const auto& [name, value] : rows) {
        if (!document.add(name, value)) {
            findings.error({where, "the setting " + name, "settings that this version knows",
                            "use the version of the program that the file names under program.version"});
            placed = false;
        }
    }
    return placed ? read_document(document.document(), where, findings) : std::nullopt;
}

}  // namespace eaveshed
