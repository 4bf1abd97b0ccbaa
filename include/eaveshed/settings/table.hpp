// The one table of settings: what each is called, means, may hold, and where its value is kept. Reading a project file,
// range checks, suggestions, `eaveshed settings`, docs/settings.md and the run record are all generated from it.
// Defaults do not stand here: they are read from a default-made Settings (settings.hpp).
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/core/units.hpp"
#include "eaveshed/settings/input_role.hpp"
#include "eaveshed/settings/settings.hpp"

namespace eaveshed {

// What a planner writes after the equals sign.
enum class Kind : std::uint8_t {
    number,
    whole_number,
    flag,  // true or false
    text,
    field,         // name of a field of the section's layer
    quantity,      // the same with numbers in the setting's unit, or { field = NAME, unit = UNIT }
    fields,        // list of them
    path,          // a file
    paths,         // a file, a list of files, or a glob
    date,          // YYYY-MM-DD or YYYY-MM
    calendar,      // a CF calendar name
    choice,        // one of a closed list
    words,         // a list of words of a closed list
    months,        // list of months, as numbers or English names
    twelve,        // one number for all months, or twelve, January first
    coefficients,  // a table of its own: any name = number
};

// Interval of numbers. Infinite ends are no limit.
struct Range {
    double low = -std::numeric_limits<double>::infinity();
    double high = std::numeric_limits<double>::infinity();
    bool low_open = false;  // the end itself is not allowed

    [[nodiscard]] bool limited() const { return *this != Range{}; }
    [[nodiscard]] bool holds(double value) const { return (low_open ? value > low : value >= low) && value <= high; }
    friend bool operator==(const Range&, const Range&) = default;
};

// "0 to 1", "more than 0, up to 100", "0 or more"; empty when there is no limit.
[[nodiscard]] std::string to_text(const Range& range);

// Where a setting's value is kept. `item` counts the tables of a repeated section from 0 and is ignored elsewhere.
template <typename Value>
struct Reach {
    const Value& (*get)(const Settings& settings, std::size_t item) = nullptr;
    Value& (*edit)(Settings& settings, std::size_t item) = nullptr;
};

struct ChoiceReach {
    std::span<const Term> terms;  // by the enumeration's values
    std::size_t first = 0;        // terms before it cannot be written: they stand for "not given"
    std::size_t (*get)(const Settings& settings, std::size_t item) = nullptr;
    void (*set)(Settings& settings, std::size_t item, std::size_t value) = nullptr;
};

using Access = std::variant<Reach<double>, Reach<std::optional<double>>, Reach<int>, Reach<bool>, Reach<std::string>,
                            Reach<QuantityField>, Reach<std::vector<std::string>>, Reach<std::vector<int>>,
                            Reach<std::array<double, 12>>, Reach<std::map<std::string, double>>, ChoiceReach>;

struct Setting {
    std::string_view section;  // as in the project file, without brackets
    std::string_view key;
    Kind kind = Kind::number;
    std::string_view unit{};  // of numbers and of a field's; a name of core/units.hpp when text with a unit is accepted
    Range range{};            // of numbers, of each of twelve, of each coefficient
    Access access{};
    std::string_view absent{};  // in words, what holds when the default is empty
    bool required = false;      // in the file, or in each table of a repeated section
    std::string_view meaning{};
    std::string_view source{};  // of a default that is a number or a rule: standard, paper, common practice, own choice
    std::optional<InputRole> role{};  // of a setting that names an input
    Range values{};                   // of the numbers in the field that it names (value_ranges.hpp)
    std::span<const Term> words{};    // of kind words: those that may be given
};

struct Section {
    std::string_view name;
    bool repeated = false;  // [[name]]: as many tables as wanted
    std::string_view meaning{};
};

[[nodiscard]] const std::vector<Section>& settings_sections();
// In the order of the sections.
[[nodiscard]] const std::vector<Setting>& settings_table();

// Null when there is none.
[[nodiscard]] const Section* find_section(std::string_view name);
[[nodiscard]] const Setting* find_setting(std::string_view section, std::string_view key);
// By its whole name, "section.key".
[[nodiscard]] const Setting* find_setting(std::string_view name);

// The setting's unit when text with a unit is accepted, else null.
[[nodiscard]] const Unit* convertible_unit(const Setting& setting);

// Whether it is the name of one field, of numbers with a unit or of anything else; and that name, empty where none is
// given.
[[nodiscard]] bool names_field(const Setting& setting);
[[nodiscard]] const std::string& named_field(const Setting& setting, const Settings& settings, std::size_t item = 0);

// What numbers without a unit of their own in the named field are in: the unit that is stated with it, else the
// setting's own. Null for a field that holds no quantity.
[[nodiscard]] const Unit* field_unit(const Setting& setting, const Settings& settings, std::size_t item = 0);

// Shortest text that reads back as the same number; without exponent where that stays readable.
[[nodiscard]] std::string number_text(double value);

// The setting's value as text: numbers as number_text, lists in brackets (twelve equal numbers as one), tables as
// `name = value` joined by commas.
// Empty when nothing is given and there is no default.
[[nodiscard]] std::string value_text(const Setting& setting, const Settings& settings, std::size_t item = 0);

// What holds when a project file does not give the setting: the default, else `absent` in words, else "none"; or
// "required".
[[nodiscard]] std::string default_text(const Setting& setting);

// What may be given, in words: a number's range, or the kind, or the choices: "0 to 1", "one of roof, walls".
[[nodiscard]] std::string allowed_text(const Setting& setting);

// The same for a message: "a number in m, 0 to 50, or text with a number and a unit (m, mm, ...)", "a file".
[[nodiscard]] std::string wanted_text(const Setting& setting);

// How many tables a repeated section has in `settings`; 1 for any other section.
[[nodiscard]] std::size_t item_count(const Section& section, const Settings& settings);

// Every setting after defaults, for the run record: "section.key" (repeated sections "section.N.key", N from 1;
// coefficients "harvest.runoff_coefficient.NAME") and value_text. In the table's order.
[[nodiscard]] std::vector<std::pair<std::string, std::string>> effective_settings(const Settings& settings);

}  // namespace eaveshed
