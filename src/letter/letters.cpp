#include "eaveshed/letter/letters.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "eaveshed/core/error.hpp"
#include "eaveshed/ranking/ranking.hpp"
#include "eaveshed/record/columns.hpp"
#include "eaveshed/record/quantity_text.hpp"
#include "eaveshed/record/values.hpp"
#include "eaveshed/settings/table.hpp"
#include "eaveshed/summary/statements.hpp"
#include "eaveshed/words/safe_output.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr std::string_view kOpening = "{{";
constexpr std::string_view kClosing = "}}";

// A field made for people.
struct MadeField {
    std::string_view name;
    std::string_view meaning;
    std::string (*value)(const SummaryFacts& facts, const ParcelRow& row, const QuantityText& units);
};

std::string known_or(const std::string& text) {
    return text.empty() ? std::string(kNotKnown) : text;
}

std::string money_with_currency(const SummaryFacts& facts, const ParcelRow& row) {
    constexpr int kFigures = 3;
    const std::string& currency = facts.settings.cost.currency;
    return row.cost ? with_figures(*row.cost, kFigures) + (currency.empty() ? "" : " " + currency)
                    : std::string(kNotKnown);
}

// method.md 8.9 makes the questions; here they stand one below the other, put to those who live there.
std::string questions_one_a_line(const ParcelRow& row) {
    std::string text;
    for (const std::string& question : questions_to_owner(row.ask_first.value_or(""))) {
        text += (text.empty() ? "" : "\n") + question;
    }
    return text;
}

// A clause that is true whatever the water source.
std::string creek_clause(const ParcelRow& row, const QuantityText& units) {
    if (row.flags.has(Flag::unknown_source)) {
        return "what the creek would keep of it depends on where your water comes from";
    }
    if (!row.added_gain_lps) {
        return "what the creek would keep of it is not known";
    }
    return *row.added_gain_lps > 0.0
               ? fmt::format("the creek would keep {} more on average", units.text("L/s", row.added_gain_lps))
               : std::string("the creek would not feel it in these months");
}

std::string pressure_words(const ParcelRow& row, const QuantityText& units) {
    const bool none = row.pressure_kpa && !is_pressure(*row.pressure_kpa);
    return units.pressure(row.pressure_kpa) + (none ? " without a pump" : "");
}

constexpr std::array kMadeFields{
    MadeField{
        "basin", "name of the basin",
        [](const SummaryFacts& facts, const ParcelRow&, const QuantityText&) { return facts.settings.basin.name; }},
    MadeField{"months", "months in which less would be taken: \"Aug, Sep, Oct\"",
              [](const SummaryFacts& facts, const ParcelRow&, const QuantityText&) { return month_words(facts); }},
    MadeField{"tanks", "tanks and the volume of each, with its unit: \"3 x 18.9 m3\"",
              [](const SummaryFacts&, const ParcelRow& row, const QuantityText& units) {
                  return row.storage_m3 ? units.tanks(*row.storage_m3, row.tank_count.value_or(1))
                                        : std::string(kNotKnown);
              }},
    MadeField{"storage", "volume of all tanks together, with its unit",
              [](const SummaryFacts&, const ParcelRow& row, const QuantityText& units) {
                  return units.text("m3", row.storage_m3);
              }},
    MadeField{"harvest", "what its roofs gather in a mean winter, with its unit",
              [](const SummaryFacts&, const ParcelRow& row, const QuantityText& units) {
                  return units.text("m3", row.harvest_mean_m3);
              }},
    MadeField{"added", "what the storage replaces each season beyond storage that stands already, with its unit",
              [](const SummaryFacts&, const ParcelRow& row, const QuantityText& units) {
                  return units.text("m3", row.added_forbearance_m3);
              }},
    MadeField{"added_m3", "the same as a number in m3, whatever the project's units",
              [](const SummaryFacts&, const ParcelRow& row, const QuantityText&) {
                  return QuantityText(OutputUnits::si).number("m3", row.added_forbearance_m3);
              }},
    MadeField{"gain", "what of it the creek feels, as a mean flow with its unit",
              [](const SummaryFacts&, const ParcelRow& row, const QuantityText& units) {
                  return row.flags.has(Flag::unknown_source) ? std::string(kNotKnown)
                                                             : units.text("L/s", row.added_gain_lps);
              }},
    MadeField{
        "creek", "the same as a clause that is true whatever the water source",
        [](const SummaryFacts&, const ParcelRow& row, const QuantityText& units) { return creek_clause(row, units); }},
    MadeField{"pressure", "pressure at the tap with little water left, with its unit; \"none without a pump\"",
              [](const SummaryFacts&, const ParcelRow& row, const QuantityText& units) {
                  return pressure_words(row, units);
              }},
    MadeField{"how", "how the water gets in and out, in words",
              [](const SummaryFacts&, const ParcelRow& row, const QuantityText&) {
                  return row.delivery ? std::string(term_of(*row.delivery).meaning) : std::string(kNotKnown);
              }},
    MadeField{"price", "cost with its currency",
              [](const SummaryFacts& facts, const ParcelRow& row, const QuantityText&) {
                  return money_with_currency(facts, row);
              }},
    MadeField{"questions", "what to ask first, put to the owner, one question a line",
              [](const SummaryFacts&, const ParcelRow& row, const QuantityText&) { return questions_one_a_line(row); }},
};

std::string plain_text(const Value& value) {
    if (const auto* const real = std::get_if<double>(&value)) {
        return number_text(*real);
    }
    if (const auto* const whole = std::get_if<std::int64_t>(&value)) {
        return std::to_string(*whole);
    }
    const auto* const text = std::get_if<std::string>(&value);
    return text != nullptr ? *text : std::string();
}

std::size_t line_of(const std::string& text, std::size_t at) {
    return 1 + static_cast<std::size_t>(std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(at), '\n'));
}

std::string without_blanks(std::string_view text) {
    const auto first = text.find_first_not_of(" \t");
    const auto last = text.find_last_not_of(" \t");
    return first == std::string_view::npos ? std::string() : std::string(text.substr(first, last - first + 1));
}

}  // namespace

std::vector<LetterField> letter_fields() {
    std::vector<LetterField> fields;
    fields.reserve(kMadeFields.size() + columns_of<ParcelRow>().size());
    for (const MadeField& field : kMadeFields) {
        fields.push_back({std::string(field.name), std::string(field.meaning)});
    }
    for (const Column& column : columns_of<ParcelRow>()) {
        fields.push_back({std::string(column.field.name), std::string(column.field.meaning)});
    }
    return fields;
}

std::string letter_help() {
    std::string text =
        "A letter's template is a text file of your own. Each {{field}} in it is filled for each chosen parcel\n"
        "(eaveshed report OUT.gpkg -o DIR --letter FILE with --parcel ID or --top N), into DIR/letters/PARCEL.txt:\n"
        "files that only you may read. What is not known says so. A field that is not known is an error.\n"
        "\n"
        "  Dear {{owner}},\n"
        "  the roofs of {{parcel_id}} gather {{harvest}} in a mean winter. Tanks of {{tanks}} could replace\n"
        "  {{added}} of your water use in {{months}}; {{creek}}.\n"
        "\n"
        "Fields that the project carries into lists (parcels.carry), by their own names, and:\n\n";
    constexpr std::size_t kWidth = 12;
    for (const MadeField& field : kMadeFields) {
        text += fmt::format("  {:<{}}{}\n", field.name, kWidth, field.meaning);
    }
    return text +
           "\nEvery column of the layer parcels too, as it stands there, in SI: `eaveshed columns parcels` lists "
           "them.\n";
}

LetterTemplate::LetterTemplate(const std::string& text, const std::string& where,
                               const std::vector<std::string>& known) {
    std::string valid = text;
    if (replace_invalid_utf8(valid)) {
        throw input_error(where, "a text that is not UTF-8", "a text file in UTF-8", "save it as UTF-8");
    }
    std::size_t from = 0;
    for (auto open = text.find(kOpening); open != std::string::npos; open = text.find(kOpening, from)) {
        const std::string line = fmt::format("{}, line {}", where, line_of(text, open));
        const auto close = text.find(kClosing, open);
        if (close == std::string::npos || text.find(kOpening, open + 2) < close) {
            throw input_error(line, "braces {{ without their }}", "a field such as {{parcel_id}}",
                              "close them; what is no field has no {{");
        }
        const std::string name = without_blanks(std::string_view(text).substr(open + 2, close - open - 2));
        if (std::ranges::find(known, name) == known.end()) {
            throw input_error(line, "an unknown field {{" + printable(name, 60) + "}}",
                              "a field that letters have, or that the project carries (parcels.carry)",
                              did_you_mean(name, known, "`eaveshed help letters` lists them"));
        }
        m_pieces.push_back(text.substr(from, open - from));
        m_pieces.push_back(name);
        from = close + kClosing.size();
    }
    m_pieces.push_back(text.substr(from));
}

std::string LetterTemplate::filled(const std::vector<std::pair<std::string, std::string>>& values) const {
    std::string text;
    for (std::size_t i = 0; i < m_pieces.size(); ++i) {
        if (i % 2 == 0) {
            text += m_pieces[i];
            continue;
        }
        const auto value = std::ranges::find(values, m_pieces[i], &std::pair<std::string, std::string>::first);
        if (value == values.end()) {
            internal_error("a letter's field without a value");
        }
        text += without_controls(value->second);
    }
    return text;
}

std::vector<std::pair<std::string, std::string>> letter_values(const SummaryFacts& facts, const ParcelRow& row,
                                                               const std::vector<std::string>& contact_names,
                                                               const std::vector<std::string>& contact_entries) {
    const QuantityText units(facts.settings.output.units);
    std::vector<std::pair<std::string, std::string>> values;
    values.reserve(kMadeFields.size() + columns_of<ParcelRow>().size() + contact_names.size());
    for (const MadeField& field : kMadeFields) {
        values.emplace_back(std::string(field.name), known_or(field.value(facts, row, units)));
    }
    std::vector<Value> cells;
    values_of(row, cells);
    const auto& columns = columns_of<ParcelRow>();
    for (std::size_t i = 0; i < columns.size(); ++i) {
        values.emplace_back(std::string(columns[i].field.name), known_or(plain_text(cells[i])));
    }
    for (std::size_t i = 0; i < contact_names.size(); ++i) {
        values.emplace_back(contact_names[i], contact_entries[i]);
    }
    return values;
}

}  // namespace eaveshed
