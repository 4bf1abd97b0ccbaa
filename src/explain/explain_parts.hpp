// Building blocks of an explanation. Private to the module.
#pragma once

#include <fmt/format.h>

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/document/document.hpp"
#include "eaveshed/explain/explain.hpp"
#include "eaveshed/facts/fields.hpp"
#include "eaveshed/facts/walk.hpp"
#include "eaveshed/words/months_text.hpp"

namespace eaveshed {

// One section being written; it goes into the document when it is done.
class SectionWriter {
public:
    SectionWriter(Document& document, std::string key, std::string title) : m_document(document) {
        m_section.key = std::move(key);
        m_section.title = std::move(title);
    }
    ~SectionWriter() { m_document.sections.push_back(std::move(m_section)); }
    SectionWriter(const SectionWriter&) = delete;
    SectionWriter& operator=(const SectionWriter&) = delete;

    void say(std::string text) { m_section.parts.emplace_back(Words{std::move(text)}); }
    // Quantities come in SI and stand in the document's units.
    void add(Fact fact);
    void add(FactTable table);
    // A text under a name; `from` as in Fact.
    void text(std::string key, std::string label, std::string value, std::string from = {}) {
        add(Fact{.key = std::move(key),
                 .label = std::move(label),
                 .value = std::move(value),
                 .unit = {},
                 .from = std::move(from)});
    }

    // For sentences.
    [[nodiscard]] const QuantityText& units() const { return m_document.units; }

private:
    Document& m_document;
    DocumentSection m_section;
};

template <typename T>
Value value_of(const std::optional<T>& value) {
    return value ? Value(*value) : Value();
}

// A number with its unit; `from` as in Fact.
inline Fact amount(char sign, std::string key, std::string label, Value value, std::string unit, int decimals,
                   std::string from) {
    return {.sign = sign,
            .key = std::move(key),
            .label = std::move(label),
            .value = std::move(value),
            .unit = std::move(unit),
            .decimals = decimals,
            .from = std::move(from)};
}

inline Fact metres(char sign, std::string key, std::string label, Value value, std::string from) {
    return amount(sign, std::move(key), std::move(label), std::move(value), "m", 2, std::move(from));
}

// "siting.fill_loss_m, default; common practice in plumbing", or "..., set by the project".
[[nodiscard]] std::string from_setting(const Settings& settings, std::string_view section, std::string_view key);

// " (gal)": what the project says that a field's numbers are in; empty where it says nothing.
[[nodiscard]] std::string stated_unit(std::string_view section, std::string_view key, const Settings& settings);

// "field eave_h_m of the footprints", "field use_gal (gal) of the parcels": with the unit where one is stated.
template <typename Facts, typename Value>
[[nodiscard]] std::string from_field(const Settings& settings, std::optional<Value> Facts::*fact) {
    return fmt::format("field {}{} of the {}", field_name(fact_of(fact), settings),
                       stated_unit(FactsOf<Facts>::section, fact_of(fact).field, settings), FactsOf<Facts>::section);
}

// The same, or that the value was measured on site and stands in the overrides table.
inline constexpr std::string_view kMeasured = "measured (overrides)";
template <typename Facts, typename Value>
[[nodiscard]] std::string from_data(const Settings& settings, const Facts& facts, std::optional<Value> Facts::*fact) {
    return is_measured(facts, fact) ? std::string(kMeasured) : from_field(settings, fact);
}

// What stands in where a fact is not known: from_setting.
template <typename Facts, typename Value>
[[nodiscard]] std::string from_standard(const Settings& settings, std::optional<Value> Facts::*fact) {
    const SettingName& standard = fact_of(fact).standard;
    return from_setting(settings, standard.section, standard.key);
}

// Of the roof's parcel; nothing without one.
[[nodiscard]] const ParcelFacts& facts_of_parcel(const ExplainedRoof& roof);

// "9.80665 kPa a metre": what water weighs on.
[[nodiscard]] std::string pressure_of_water(const QuantityText& units);

// "one tank of 18.9 m3", "10 tanks of together 189.0 m3".
[[nodiscard]] std::string storage_text(const StorageOption& option, const QuantityText& units);

template <HasTerms Enum>
std::string meaning_of(Enum value) {
    return std::string(term_of(value).meaning);
}

// "gravity: fills from the gutter ...".
template <HasTerms Enum>
std::string named(Enum value) {
    return fmt::format("{}: {}", term_of(value).name, term_of(value).meaning);
}

[[nodiscard]] std::string capitalised(std::string text);

// What the program did with which file: under the title.
[[nodiscard]] std::string explanation_note(const Explained& explained, const QuantityText& units);
void add_flags(Flags flags, SectionWriter& section);
void add_inputs(const Explained& explained, Document& document);
// `rows`: which stored rows were compared.
void add_comparison(const Explained& explained, const std::string& rows, Document& document);

// What a shallow well's distance to the stream comes from.
[[nodiscard]] std::string stream_distance_text(const ParcelFacts& facts, const Settings& settings,
                                               const QuantityText& units);
// The reach and the sub-basin, where the project has streams or sub-basins (explain_stream.cpp).
void add_stream_section(const RoofRow& row, const Settings& settings, Document& document);
void add_stream_section(const ParcelRow& row, const Settings& settings, Document& document);

// The nearest road and the canopy of a pad, where the project has such inputs.
void add_pad_notes(const PadRow& pad, const Settings& settings, SectionWriter& section);
// Pumps, weight and overflow of the storage on a pad.
void add_pad_duty(const PadRow& pad, const Settings& settings, SectionWriter& section);

// A place under a name: "pad" and "Pad" give pad_x, pad_y, pad_longitude_deg and pad_latitude_deg.
struct NamedPlace {
    std::string key;
    std::string label;
    std::optional<MapPlace> place;
};
inline constexpr int kDegreeDecimals = 6;
// Of coordinates in the output's CRS, for people.
[[nodiscard]] int coordinate_decimals(const Explained& explained);
// `more`: a table of further places.
void add_coordinates(const std::vector<NamedPlace>& places, const Explained& explained, std::optional<FactTable> more,
                     Document& document);

// What every option replaces, with a note beside the recommended and the chosen one, where there are any, and beside
// those that are not worth their size.
struct CurveMarks {
    std::optional<std::size_t> recommended;
    std::optional<std::size_t> chosen;
};
[[nodiscard]] FactTable curve_table(const std::vector<OptionResult>& options, const CurveMarks& marks,
                                    const StorageSettings& settings);
// Why the recommended one of these is recommended.
[[nodiscard]] std::string recommendation_text(const std::vector<OptionResult>& options, const StorageSettings& settings,
                                              const QuantityText& units);

void add_water_sections(const ExplainedRoof& roof, Document& document);   // explain_water.cpp
void add_storage_section(const ExplainedRoof& roof, Document& document);  // explain_storage.cpp
void add_siting_sections(const ExplainedRoof& roof, Document& document);  // explain_siting.cpp
void add_pad_sections(const ExplainedRoof& roof, Document& document);     // explain_pad.cpp

}  // namespace eaveshed
