// Tables without shapes: a gauge's record, the gauges' places, measured values, a call list that was filled in.
#include <algorithm>
#include <array>
#include <filesystem>
#include <optional>
#include <span>
#include <utility>

#include <fmt/format.h>

#include "climate_words.hpp"
#include "eaveshed/fieldbook/call_table.hpp"
#include "eaveshed/fieldbook/override_table.hpp"
#include "eaveshed/gauges/column_names.hpp"
#include "eaveshed/gauges/gauge_places.hpp"
#include "eaveshed/gauges/written_dates.hpp"
#include "eaveshed/settings/input_role.hpp"
#include "eaveshed/words/unit_text.hpp"
#include "eaveshed/words/wording.hpp"
#include "sightings.hpp"
#include "words_in.hpp"

namespace eaveshed {

namespace {

using Words = std::span<const std::string_view>;

const FieldSeen* field_named(const LayerSeen& table, std::string_view name) {
    const auto found =
        std::ranges::find_if(table.fields, [&](const FieldSeen& field) { return lower_case(field.name) == name; });
    return found == table.fields.end() ? nullptr : &*found;
}

// The first whose name says to the reader of gauges that it is this. Null for none.
const FieldSeen* field_with(const LayerSeen& table, ColumnRole role) {
    const auto found = std::ranges::find_if(
        table.fields, [&](const FieldSeen& field) { return column_name(field.name).role == role; });
    return found == table.fields.end() ? nullptr : &*found;
}

bool holds_dates(const FieldSeen& field) {
    return !field.values.empty() &&
           std::ranges::all_of(field.values, [](const std::string& value) { return written_date(value).has_value(); });
}

constexpr std::array<std::string_view, 2> kGaugeWords{"gauge", "gage"};
constexpr std::array<std::string_view, 7> kFlowWords{"flow", "discharge", "stage", "level", "cfs", "wind", "humidity"};

// Dates in columns of their own for years, months and perhaps days.
bool has_year_and_month(const LayerSeen& table) {
    constexpr double kFirstYear = 1700.0;
    constexpr double kLastYear = 2200.0;
    const FieldSeen* const year = field_with(table, ColumnRole::year);
    const FieldSeen* const month = field_with(table, ColumnRole::month);
    return year != nullptr && month != nullptr && year->numeric() && year->whole && year->least >= kFirstYear &&
           year->most <= kLastYear && !month->values.empty() &&
           std::ranges::all_of(month->values,
                               [](const std::string& value) { return written_month(value).has_value(); });
}

// Null for none. A column that is called after the month may hold whole dates.
const FieldSeen* date_field(const LayerSeen& table) {
    for (const ColumnRole role : {ColumnRole::date, ColumnRole::month, ColumnRole::day}) {
        if (const FieldSeen* const field = field_with(table, role); field != nullptr && holds_dates(*field)) {
            return field;
        }
    }
    return nullptr;
}

bool is_record(const LayerSeen& table) {
    const bool numbers = std::ranges::any_of(
        table.fields, [](const FieldSeen& field) { return field.numbers * 2 > field.filled && field.numbers > 0; });
    return (date_field(table) != nullptr || has_year_and_month(table)) && numbers;
}

std::string_view temperature_word(std::string_view name) {
    static constexpr std::array<Words, 3> kAll{kColdWords, kWarmWords, kMeanWords};
    for (const Words words : kAll) {
        if (const std::string_view word = word_in(name, words); !word.empty()) {
            return word;
        }
    }
    return {};
}

// A column of minima or of maxima, where the table, the column or its unit says that they are temperatures: "Low Creek"
// is a place. Null for none.
const FieldSeen* temperature_field(const Sighting& sighting, ColumnRole role) {
    const bool all = !temperature_word(sighting.name).empty();
    for (const FieldSeen& field : sighting.layer->fields) {
        const ColumnName column = column_name(field.name);
        if (column.role == role && field.numbers > 0 &&
            (all || gauge_temperature_unit(column.unit) || !temperature_word(field.name).empty())) {
            return &field;
        }
    }
    return nullptr;
}

// Of temperatures: their columns, or what the table calls itself.
bool has_temperatures(const Sighting& sighting) {
    return !temperature_word(sighting.name).empty() ||
           std::ranges::any_of(sighting.layer->fields,
                               [](const FieldSeen& field) { return !temperature_word(field.name).empty(); });
}

// "DailyRain", "rain24h": names that say rain in a part of theirs, but for those of flags beside it.
bool has_rain_word(const LayerSeen& table) {
    return std::ranges::any_of(table.fields, [](const FieldSeen& field) {
        return field.numbers > 0 && !word_in(field.name, kRainWords).empty() &&
               column_name(field.name).role != ColumnRole::other;
    });
}

// Of a table of dates and numbers: what it is a record of, by the words of its columns and its own.
void guess_record(Sighting& sighting) {
    const LayerSeen& table = *sighting.layer;
    if (field_with(table, ColumnRole::rain) != nullptr || has_rain_word(table)) {
        sighting.take("rain.source", "a table of dates, with a column of rain");
        return;
    }
    if (temperature_field(sighting, ColumnRole::minimum) != nullptr &&
        temperature_field(sighting, ColumnRole::maximum) != nullptr) {
        sighting.take("temperature.minimum", "a table of dates with minima and maxima, and no rain");
        return;
    }
    if (has_temperatures(sighting)) {
        sighting.why = "a table of temperatures: no rain, and not both a column of minima and one of maxima";
        return;
    }
    const bool flows = has_field(table, kFlowWords) || !word_in(sighting.name, kFlowWords).empty();
    for (const Words words : {Words(kRainWords), Words(kGaugeWords)}) {
        if (const std::string_view word = word_in(sighting.name, words); !word.empty() && !flows) {
            sighting.take("rain.source", fmt::format("a table of dates and numbers, called \"{}\"", word));
            return;
        }
    }
    sighting.why = "a table of dates and numbers that says nowhere that it is rain";
}

std::optional<PlaceColumns> places_in(const LayerSeen& table) {
    std::vector<std::string> names;
    for (const FieldSeen& field : table.fields) {
        names.push_back(field.name);
    }
    return find_place_columns(names);
}

bool has_measured_value(const LayerSeen& table) {
    const std::vector<MeasuredColumn> columns = measured_columns();
    return std::ranges::any_of(
        columns, [&](const MeasuredColumn& column) { return field_named(table, lower_case(column.name)) != nullptr; });
}

bool is_call_list(const LayerSeen& table) {
    const auto has = [&](std::string_view heading) {
        return std::ranges::any_of(table.fields,
                                   [&](const FieldSeen& field) { return same_heading(field.name, heading); });
    };
    return has(CallHeadings::kParcel) && (has(CallHeadings::kOutcome) || has(CallHeadings::kNextStep));
}

constexpr std::array<std::string_view, 4> kTapWords{"tap", "taps", "use_point", "diversion"};

// Gauges are read from text alone: a table of them in another file gets no role.
void require_text(Sighting& sighting) {
    if (!sighting.role.empty() && !names_gauge_table(sighting.file->path)) {
        sighting.why += "; but gauges and their places are read from .csv, .tsv, .tab and .txt: save it as CSV (UTF-8)";
        sighting.role.clear();
    }
}

void guess_table(Sighting& sighting) {
    const LayerSeen& table = *sighting.layer;
    const bool by_layers = !sighting.file->only_gauges;
    const bool of_roofs = field_named(table, "roof_id") != nullptr;
    const bool of_parcels = field_named(table, "parcel_id") != nullptr;
    const std::optional<PlaceColumns> places = places_in(table);
    if (by_layers && is_call_list(table)) {
        sighting.take("contacts.source", "parcels, and how talks about them went");
    } else if (by_layers && (of_roofs || of_parcels) && has_measured_value(table)) {
        sighting.take("overrides.source", fmt::format("measured values by {}", of_roofs ? "roof" : "parcel"));
    } else if (is_record(table)) {
        guess_record(sighting);
        require_text(sighting);
    } else if (places && places->id && table.features < 1000 && word_in(sighting.name, kTapWords).empty()) {
        sighting.take("rain.stations", "places with an id");
        require_text(sighting);
    } else if (places && table.shape == LayerShape2d::none) {
        const std::string stem = std::filesystem::path(sighting.file->path).stem().string();
        sighting.why = fmt::format(
            "a table with coordinates, which are no points yet. Make a layer of it: ogr2ogr -f GPKG {} {} -oo "
            "'X_POSSIBLE_NAMES=x,lon*' -oo 'Y_POSSIBLE_NAMES=y,lat*' -a_srs EPSG:..., with the code of its coordinates",
            shell_word(stem + ".gpkg"), shell_word(std::filesystem::path(sighting.file->path).filename().string()));
    }
}

// The first of a month, or a month alone, in every date that was seen.
bool holds_months(const FieldSeen& dates) {
    bool first_is_one = true;  // of 1/2/1990
    bool second_is_one = true;
    for (const std::string& value : dates.values) {
        const auto date = written_date(value);
        constexpr int kMonths = 12;
        if (!date || (date->open() ? std::max(date->first, date->second) > kMonths : date->day.value_or(1) != 1)) {
            return false;
        }
        first_is_one = first_is_one && (!date->open() || date->first == 1);
        second_is_one = second_is_one && (!date->open() || date->second == 1);
    }
    return first_is_one || second_is_one;
}

DraftLine gauge_unit_line(const LayerSeen& table) {
    for (const FieldSeen& field : table.fields) {
        const ColumnName column = column_name(field.name);
        const auto unit = rain_unit_from_text(column.unit);
        const bool of_rain = column.role == ColumnRole::rain || column.role == ColumnRole::unknown ||
                             column.role == ColumnRole::minimum || column.role == ColumnRole::maximum;  // "Low Creek"
        if (unit && of_rain) {
            return {"unit", toml_text(to_text(unit->unit)),
                    fmt::format("by the column '{}'", printable(field.name, 40))};
        }
    }
    return {"unit", toml_text("mm"), "the table does not say: mm, cm, m or in", true};
}

// Where the gauges stand.
void add_stations(const Sightings& all, DraftSection& section) {
    for (const std::string_view role : {"rain.stations", "temperature.stations"}) {
        if (const Sighting* const places = with_role(all, role)) {
            section.lines.push_back({"stations", toml_text(places->path), places->why});
            return;
        }
    }
}

}  // namespace

DraftSection gauge_section(const Sightings& all, const Sighting& gauges) {
    DraftSection section{.name = "rain"};
    const LayerSeen& table = *gauges.layer;
    section.lines.push_back({"source", toml_text(gauges.path), gauges.why});
    const FieldSeen* const dates = date_field(table);
    const bool months = dates != nullptr ? holds_months(*dates) : field_with(table, ColumnRole::day) == nullptr;
    section.lines.push_back({"kind", toml_text(months ? "monthly" : "daily"),
                             dates != nullptr ? fmt::format("dates such as {}", printable(dates->values.back(), 30))
                             : months         ? "columns of years and months"
                                              : "columns of years, months and days"});
    section.lines.push_back(gauge_unit_line(table));
    add_stations(all, section);
    if (const Sighting* const normals = with_role(all, "rain.normals")) {
        section.lines.push_back({"normals", toml_text(normals->path), normals->why});
    }
    return section;
}

std::optional<DraftSection> gauge_temperature_section(const Sightings& all) {
    const Sighting* table = with_role(all, "temperature.minimum");
    if (table == nullptr) {
        table = with_role(all, "rain.source");
    }
    if (table == nullptr || table->layer == nullptr) {
        return std::nullopt;
    }
    const FieldSeen* const minimum = temperature_field(*table, ColumnRole::minimum);
    const FieldSeen* const maximum = temperature_field(*table, ColumnRole::maximum);
    if (minimum == nullptr || maximum == nullptr) {
        return std::nullopt;
    }
    DraftSection section{.name = "temperature"};
    for (const auto& [key, field] : {std::pair("minimum", minimum), std::pair("maximum", maximum)}) {
        section.lines.push_back(
            {key, toml_text(table->path), fmt::format("by the column '{}'", printable(field->name, 40))});
    }
    if (!gauge_temperature_unit(column_name(minimum->name).unit)) {
        section.lines.push_back({"unit", toml_text("F"), "the columns do not say: C or F", true});
    }
    add_stations(all, section);
    return section;
}

namespace {

// One table is read: the longest of them.
void keep_longest(Sightings& all, std::string_view role) {
    const auto has_role = [&](const Sighting& sighting) { return sighting.layer != nullptr && sighting.role == role; };
    Sighting* longest = nullptr;
    for (Sighting& sighting : all) {
        if (has_role(sighting) && (longest == nullptr || sighting.layer->features > longest->layer->features)) {
            longest = &sighting;
        }
    }
    for (Sighting& sighting : all) {
        if (has_role(sighting) && &sighting != longest) {
            sighting.role.clear();
            sighting.why += fmt::format("; {} has more lines and is taken, and one table is read",
                                        printable(std::filesystem::path(longest->file->path).filename().string(), 60));
        }
    }
}

}  // namespace

void settle_stations(Sightings& all) {
    const auto stations = std::ranges::find(all, "rain.stations", &Sighting::role);
    const auto from_gauges = [&](std::string_view role) {
        const Sighting* const found = with_role(all, role);
        return found != nullptr && found->layer != nullptr;
    };
    if (stations == all.end() || from_gauges("rain.source")) {
        return;
    }
    if (from_gauges("temperature.minimum")) {
        stations->role = "temperature.stations";
        return;
    }
    stations->role.clear();
    stations->why += ", and no table of gauges that stand there is read";
}

void guess_tables(Sightings& all) {
    for (Sighting& sighting : all) {
        if (sighting.layer != nullptr && sighting.free() &&
            (sighting.layer->shape == LayerShape2d::none || sighting.layer->shape == LayerShape2d::points)) {
            guess_table(sighting);
        }
    }
    for (const std::string_view role :
         {"rain.source", "temperature.minimum", "rain.stations", "contacts.source", "overrides.source"}) {
        keep_longest(all, role);
    }
}

}  // namespace eaveshed
