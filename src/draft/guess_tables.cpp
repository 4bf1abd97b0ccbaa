// Tables without shapes: a gauge's record, the gauges' places, measured values, a call list that was filled in.
#include <algorithm>
#include <array>
#include <optional>
#include <regex>
#include <span>

#include <fmt/format.h>

#include "eaveshed/fieldbook/override_table.hpp"
#include "eaveshed/words/wording.hpp"
#include "sightings.hpp"
#include "words_in.hpp"

namespace eaveshed {

namespace {

const FieldSeen* field_named(const LayerSeen& table, std::string_view name) {
    const auto found =
        std::ranges::find_if(table.fields, [&](const FieldSeen& field) { return lower_case(field.name) == name; });
    return found == table.fields.end() ? nullptr : &*found;
}

// 1991-10-01, 1991-10, 10/1/1991, 01.10.1991, 1-Oct-1991.
bool holds_dates(const FieldSeen& field) {
    static const std::regex kDate(
        R"(\d{4}[-/.]?\d{1,2}([-/.]?\d{1,2})?([ T].*)?|\d{1,2}[-/. ](\d{1,2}|[A-Za-z]{3})[-/. ]\d{2,4})");
    return !field.values.empty() && std::ranges::all_of(field.values, [](const std::string& value) {
        return value.size() <= 30 && std::regex_match(value, kDate);
    });
}

bool is_record(const LayerSeen& table) {
    static constexpr std::array<std::string_view, 4> kDateWords{"date", "day", "time", "month"};
    const auto dates = std::ranges::find_if(table.fields, [](const FieldSeen& field) {
        return !word_in(field.name, kDateWords).empty() && holds_dates(field);
    });
    const bool numbers = std::ranges::any_of(
        table.fields, [](const FieldSeen& field) { return field.numbers * 2 > field.filled && field.numbers > 0; });
    return dates != table.fields.end() && numbers;
}

bool has_place(const LayerSeen& table) {
    return (field_named(table, "lon") != nullptr && field_named(table, "lat") != nullptr) ||
           (field_named(table, "x") != nullptr && field_named(table, "y") != nullptr);
}

bool has_measured_value(const LayerSeen& table) {
    const std::vector<MeasuredColumn> columns = measured_columns();
    return std::ranges::any_of(
        columns, [&](const MeasuredColumn& column) { return field_named(table, lower_case(column.name)) != nullptr; });
}

bool is_call_list(const LayerSeen& table) {
    static constexpr std::array<std::string_view, 3> kCallWords{"outcome", "next_step", "contacted"};
    return std::ranges::any_of(table.fields,
                               [](const FieldSeen& field) { return !word_in(field.name, kCallWords).empty(); });
}

void guess_table(Sighting& sighting) {
    const LayerSeen& table = *sighting.layer;
    const bool of_roofs = field_named(table, "roof_id") != nullptr;
    const bool of_parcels = field_named(table, "parcel_id") != nullptr;
    if (of_parcels && is_call_list(table)) {
        sighting.take("contacts.source", "parcels, and how talks about them went");
    } else if ((of_roofs || of_parcels) && has_measured_value(table)) {
        sighting.take("overrides.source", fmt::format("measured values by {}", of_roofs ? "roof" : "parcel"));
    } else if (is_record(table)) {
        sighting.take("rain.source", "a table of dates and numbers");
    } else if (has_place(table) && table.features < 1000 &&
               (field_named(table, "id") != nullptr || field_named(table, "station") != nullptr)) {
        sighting.take("rain.stations", "places with an id");
    }
}

// The first of a month, or a month alone, in every date that was seen.
bool holds_months(const FieldSeen& dates) {
    static const std::regex kMonth(R"(\d{4}[-/.]\d{1,2}([-/.]0?1)?)");
    return std::ranges::all_of(dates.values, [](const std::string& value) { return std::regex_match(value, kMonth); });
}

DraftLine gauge_unit_line(const LayerSeen& table) {
    static constexpr std::array<std::string_view, 4> kUnits{"mm", "cm", "inch", "in"};
    for (const FieldSeen& field : table.fields) {
        if (const std::string_view word = word_in(field.name, kUnits); !word.empty()) {
            return {"unit", toml_text(word == "inch" ? "in" : word),
                    fmt::format("by the column '{}'", printable(field.name, 40))};
        }
    }
    return {"unit", toml_text("mm"), "the table does not say: mm, cm, m or in", true};
}

}  // namespace

DraftSection gauge_section(const Sightings& all, const Sighting& gauges) {
    DraftSection section{.name = "rain"};
    const LayerSeen& table = *gauges.layer;
    section.lines.push_back({"source", toml_text(gauges.path), gauges.why});
    const auto dates = std::ranges::find_if(table.fields, holds_dates);
    const bool months = dates != table.fields.end() && holds_months(*dates);
    section.lines.push_back(
        {"kind", toml_text(months ? "monthly" : "daily"),
         dates == table.fields.end() ? "" : fmt::format("dates such as {}", printable(dates->values.back(), 30))});
    section.lines.push_back(gauge_unit_line(table));
    if (const Sighting* const places = with_role(all, "rain.stations")) {
        section.lines.push_back({"stations", toml_text(places->path), places->why});
    }
    if (const Sighting* const normals = with_role(all, "rain.normals")) {
        section.lines.push_back({"normals", toml_text(normals->path), normals->why});
    }
    return section;
}

std::optional<DraftSection> gauge_temperature_section(const Sightings& all) {
    static constexpr std::array<std::string_view, 4> kCold{"tmin", "tasmin", "tmn", "mint"};
    static constexpr std::array<std::string_view, 4> kWarm{"tmax", "tasmax", "tmx", "maxt"};
    const Sighting* const table = with_role(all, "rain.source");
    if (table == nullptr || table->layer == nullptr) {
        return std::nullopt;
    }
    DraftSection section{.name = "temperature"};
    const auto add = [&](std::string_view key, std::span<const std::string_view> words) {
        for (const FieldSeen& field : table->layer->fields) {
            if (field.numbers > 0 && !word_in(field.name, words).empty()) {
                section.lines.push_back({std::string(key), toml_text(table->path),
                                         fmt::format("by the column '{}'", printable(field.name, 40))});
                return;
            }
        }
    };
    add("minimum", kCold);
    add("maximum", kWarm);
    return section.lines.size() == 2 ? std::optional(section) : std::nullopt;
}

void guess_tables(Sightings& all) {
    for (Sighting& sighting : all) {
        if (sighting.layer != nullptr && sighting.free() &&
            (sighting.layer->shape == LayerShape2d::none || sighting.layer->shape == LayerShape2d::points)) {
            guess_table(sighting);
        }
    }
}

}  // namespace eaveshed
