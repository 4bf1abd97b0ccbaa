#include "eaveshed/manual/print.hpp"

#include <algorithm>
#include <ostream>
#include <string>
#include <vector>

#include <fmt/format.h>

#include "eaveshed/settings/suggest.hpp"
#include "eaveshed/settings/table.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kLineWidth = 110;
constexpr std::string_view kIndent = "      ";

std::vector<const Setting*> settings_of(const Section& section) {
    std::vector<const Setting*> list;
    for (const Setting& setting : settings_table()) {
        if (setting.section == section.name) {
            list.push_back(&setting);
        }
    }
    return list;
}

std::string padded(std::string text, std::size_t width) {
    text.resize(std::max(text.size(), width), ' ');
    return text;
}

// Words broken into lines, each after the indent.
void print_wrapped(std::ostream& out, std::string_view words) {
    std::string line;
    while (!words.empty()) {
        const std::size_t end = std::min(words.find(' '), words.size());
        const std::string_view word = words.substr(0, end);
        if (!line.empty() && kIndent.size() + line.size() + 1 + word.size() > kLineWidth) {
            out << kIndent << line << '\n';
            line.clear();
        }
        line += line.empty() ? "" : " ";
        line += word;
        words.remove_prefix(std::min(end + 1, words.size()));
    }
    out << kIndent << line << '\n';
}

// Meaning, what the choices mean, what a field's values can be: one run of sentences.
std::string explanation(const Setting& setting) {
    std::string words(setting.meaning);
    if (setting.kind == Kind::choice) {
        const auto& choice = std::get<ChoiceReach>(setting.access);
        const char* lead = " ";
        for (const Term& term : choice.terms.subspan(choice.first)) {
            words += fmt::format("{}{}: {}", lead, term.name, term.meaning);
            lead = "; ";
        }
        words += '.';
    }
    if (setting.values.limited()) {
        words += fmt::format(" Values beyond {} count as not known.", to_text(setting.values));
    }
    return words;
}

std::string unit_of(const Setting& setting) {
    return setting.unit.empty() ? "-" : std::string(setting.unit);
}

// Characters that end a cell or begin markup.
std::string cell(std::string_view text) {
    std::string escaped;
    for (const char c : text) {
        if (c == '|' || c == '<' || c == '>' || c == '*' || c == '[' || c == ']' || c == '_') {
            escaped += '\\';
        }
        escaped += c;
    }
    return escaped;
}

std::string code(std::string_view text) {
    return fmt::format("`{}`", text);
}

// Values and names as code, words as they are.
std::string default_cell(const Setting& setting) {
    const std::string text = default_text(setting);
    const bool words = setting.required || text == setting.absent || text == "none" || text.starts_with("from ");
    return words ? cell(text) : code(text);
}

void print_catalogue_markdown(std::ostream& out) {
    out << "The shipped catalogue:\n\n"
           "| Volume of one tank, m3 | Diameter, m | Height, m | Count |\n| ---: | ---: | ---: | ---: |\n";
    for (const TankOption& option : shipped_catalogue()) {
        out << "| " << number_text(option.volume_m3) << " | " << number_text(option.diameter_m) << " | "
            << number_text(option.height_m) << " | " << option.count << " |\n";
    }
    out << '\n';
}

void print_catalogue_text(std::ostream& out) {
    out << "  The shipped catalogue:\n";
    for (const TankOption& option : shipped_catalogue()) {
        out << kIndent << option.count << " x " << number_text(option.volume_m3) << " m3, diameter "
            << number_text(option.diameter_m) << " m, height " << number_text(option.height_m) << " m\n";
    }
    out << '\n';
}

}  // namespace

void print_settings_text(std::ostream& out) {
    out << "Settings of a project file. A number with a unit may also be given as text with another unit of its kind,\n"
           "such as max_fill_m = \"200 ft\"; the name of a field of such numbers with what they are in, such as\n"
           "season_use_m3 = { field = \"use_gal\", unit = \"gal\" }; `eaveshed help units` lists the units. For each\n"
           "setting: name, unit, default, what is allowed; then its meaning and the source of the default.\n\n";
    for (const Section& section : settings_sections()) {
        out << brackets(section) << "  " << section.meaning << "\n\n";
        const auto list = settings_of(section);
        std::size_t name_width = 0;
        std::size_t unit_width = 0;
        for (const Setting* setting : list) {
            name_width = std::max(name_width, setting->key.size());
            unit_width = std::max(unit_width, unit_of(*setting).size());
        }
        for (const Setting* setting : list) {
            out << "  " << padded(std::string(setting->key), name_width) << "  "
                << padded(unit_of(*setting), unit_width) << "  " << default_text(*setting) << "  ("
                << allowed_text(*setting) << ")\n";
            const std::string words = explanation(*setting);
            print_wrapped(out, setting->source.empty() ? words : fmt::format("{} Source: {}.", words, setting->source));
        }
        out << '\n';
        if (section.name == "tanks") {
            print_catalogue_text(out);
        }
    }
}

void print_settings_markdown(std::ostream& out) {
    out << "# Settings\n\n"
           "Every setting of a project file (TOML). This page is what `eaveshed settings --markdown` prints.\n\n"
           "A number with a unit may also be given as text with another unit of its kind: `max_fill_m = \"200 ft\"`,\n"
           "`volume_m3 = \"5000 gal\"`. A field of such numbers may be named with what they are in:\n"
           "`season_use_m3 = { field = \"use_gal\", unit = \"gal\" }`. `eaveshed help units` lists the units and tells "
           "more.\n"
           "Relative paths are relative to the project file. Unknown names are errors. Sections in double brackets may "
           "stand as often as needed.\n\n";
    for (const Section& section : settings_sections()) {
        out << "## " << code(brackets(section)) << "\n\n" << section.meaning << "\n\n";
        out << "| Setting | Unit | Default | Allowed | Meaning | Source |\n| --- | --- | --- | --- | --- | --- |\n";
        for (const Setting* setting : settings_of(section)) {
            out << "| " << code(setting->key) << " | " << cell(setting->unit) << " | " << default_cell(*setting)
                << " | " << cell(allowed_text(*setting)) << " | " << cell(explanation(*setting)) << " | "
                << cell(setting->source) << " |\n";
        }
        out << '\n';
        if (section.name == "tanks") {
            print_catalogue_markdown(out);
        }
    }
}

}  // namespace eaveshed
