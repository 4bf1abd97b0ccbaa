// Tables without shapes: a gauge's record, the gauges' places, measured values, a call list that was filled in.
#include <algorithm>
#include <array>
#include <filesystem>
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

using Words = std::span<const std::string_view>;

constexpr std::array<std::string_view, 16> kRainColumns{
    "rain", "rainfall", "precip", "precipitation", "prec",   "prcp",     "pcp",          "pcpn",
    "ppt",  "pr",       "rr",     "pluie",         "lluvia", "neerslag", "niederschlag", "precipitacion"};
constexpr std::array<std::string_view, 10> kTemperatureWords{"temp",   "temperature", "tmin", "tmax", "tasmin",
                                                             "tasmax", "tmean",       "tavg", "tmn",  "tmx"};
constexpr std::array<std::string_view, 2> kGaugeWords{"gauge", "gage"};
constexpr std::array<std::string_view, 7> kFlowWords{"flow", "discharge", "stage", "level", "cfs", "wind", "humidity"};
constexpr std::array<std::string_view, 4> kColdColumns{"tmin", "tasmin", "tmn", "mint"};
constexpr std::array<std::string_view, 4> kWarmColumns{"tmax", "tasmax", "tmx", "maxt"};
constexpr std::array<std::string_view, 7> kSplitDateWords{"year", "yr", "month", "mon", "mo", "day", "dy"};

// A column whose name is one of the words and whose numbers lie between two.
const FieldSeen* counting_field(const LayerSeen& table, Words names, double least, double most) {
    const auto found = std::ranges::find_if(table.fields, [&](const FieldSeen& field) {
        return std::ranges::find(names, lower_case(field.name)) != names.end() && field.numeric() && field.whole &&
               field.least >= least && field.most <= most;
    });
    return found == table.fields.end() ? nullptr : &*found;
}

// Dates in columns of their own for years, months and perhaps days.
bool has_year_and_month(const LayerSeen& table) {
    static constexpr std::array<std::string_view, 3> kYear{"year", "yr", "yyyy"};
    static constexpr std::array<std::string_view, 4> kMonth{"month", "mon", "mo", "mm"};
    return counting_field(table, kYear, 1700, 2200) != nullptr && counting_field(table, kMonth, 1, 12) != nullptr;
}

bool has_day(const LayerSeen& table) {
    static constexpr std::array<std::string_view, 3> kDay{"day", "dy", "dd"};
    return counting_field(table, kDay, 1, 31) != nullptr;
}

// Null for none.
const FieldSeen* date_field(const LayerSeen& table) {
    static constexpr std::array<std::string_view, 4> kDateWords{"date", "day", "time", "month"};
    const auto found = std::ranges::find_if(table.fields, [](const FieldSeen& field) {
        return !word_in(field.name, kDateWords).empty() && holds_dates(field);
    });
    return found == table.fields.end() ? nullptr : &*found;
}

bool is_record(const LayerSeen& table) {
    const bool numbers = std::ranges::any_of(
        table.fields, [](const FieldSeen& field) { return field.numbers * 2 > field.filled && field.numbers > 0; });
    return (date_field(table) != nullptr || has_year_and_month(table)) && numbers;
}

bool has_column(const LayerSeen& table, Words words) {
    return std::ranges::any_of(table.fields,
                               [&](const FieldSeen& field) { return !word_in(field.name, words).empty(); });
}

// Of a table of dates and numbers: what it is a record of, by the words of its columns and its own.
void guess_record(Sighting& sighting) {
    const LayerSeen& table = *sighting.layer;
    if (has_column(table, kRainColumns)) {
        sighting.take("rain.source", "a table of dates, with a column of rain");
        return;
    }
    if (has_column(table, kTemperatureWords) || !word_in(sighting.name, kTemperatureWords).empty()) {
        if (has_column(table, kColdColumns) && has_column(table, kWarmColumns)) {
            sighting.take("temperature.minimum", "a table of dates with minima and maxima, and no rain");
        } else {
            sighting.why = "a table of temperatures: no rain, and not both a column of minima and one of maxima";
        }
        return;
    }
    const bool flows = has_column(table, kFlowWords) || !word_in(sighting.name, kFlowWords).empty();
    for (const Words words : {Words(kRainColumns), Words(kGaugeWords)}) {
        if (const std::string_view word = word_in(sighting.name, words); !word.empty() && !flows) {
            sighting.take("rain.source", fmt::format("a table of dates and numbers, called \"{}\"", word));
            return;
        }
    }
    sighting.why = "a table of dates and numbers that says nowhere that it is rain";
}

bool has_any(const LayerSeen& table, Words names) {
    return std::ranges::any_of(names, [&](std::string_view name) { return field_named(table, name) != nullptr; });
}

bool has_place(const LayerSeen& table) {
    static constexpr std::array<std::string_view, 4> kLon{"lon", "longitude", "long", "lng"};
    static constexpr std::array<std::string_view, 2> kLat{"lat", "latitude"};
    static constexpr std::array<std::string_view, 3> kX{"x", "easting", "east"};
    static constexpr std::array<std::string_view, 3> kY{"y", "northing", "north"};
    return (has_any(table, kLon) && has_any(table, kLat)) || (has_any(table, kX) && has_any(table, kY));
}

// What the reader of stations takes for their ids.
bool has_station_id(const LayerSeen& table) {
    static constexpr std::array<std::string_view, 11> kIds{"id",        "station", "site",   "gauge",   "gage", "stn",
                                                           "stationid", "staid",   "siteid", "gaugeid", "code"};
    static constexpr std::array<std::string_view, 10> kSpelt{
        "station_id",   "station id", "station_number", "station number", "station_name",
        "station name", "site_id",    "gauge_id",       "station_code",   "name"};
    return has_any(table, kIds) || has_any(table, kSpelt);
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

constexpr std::array<std::string_view, 4> kTapWords{"tap", "taps", "use_point", "diversion"};

void guess_table(Sighting& sighting) {
    const LayerSeen& table = *sighting.layer;
    const bool of_roofs = field_named(table, "roof_id") != nullptr;
    const bool of_parcels = field_named(table, "parcel_id") != nullptr;
    if (of_parcels && is_call_list(table)) {
        sighting.take("contacts.source", "parcels, and how talks about them went");
    } else if ((of_roofs || of_parcels) && has_measured_value(table)) {
        sighting.take("overrides.source", fmt::format("measured values by {}", of_roofs ? "roof" : "parcel"));
    } else if (is_record(table)) {
        guess_record(sighting);
    } else if (has_place(table) && table.features < 1000 && has_station_id(table) &&
               word_in(sighting.name, kTapWords).empty()) {
        sighting.take("rain.stations", "places with an id");
    } else if (has_place(table) && table.shape == LayerShape2d::none) {
        sighting.why = fmt::format(
            "a table with coordinates, which are no points yet. Make a layer of it: ogr2ogr -f GPKG {0}.gpkg {0}.csv "
            "-oo X_POSSIBLE_NAMES=x,lon* -oo Y_POSSIBLE_NAMES=y,lat* -a_srs EPSG:..., with the code of its coordinates",
            printable(std::filesystem::path(sighting.file->path).stem().string(), 60));
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
        const bool of_dates = std::ranges::find(kSplitDateWords, lower_case(field.name)) != kSplitDateWords.end();
        if (const std::string_view word = word_in(field.name, kUnits); !word.empty() && !of_dates) {
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
    const FieldSeen* const dates = date_field(table);
    const bool months = dates != nullptr ? holds_months(*dates) : !has_day(table);
    section.lines.push_back({"kind", toml_text(months ? "monthly" : "daily"),
                             dates != nullptr ? fmt::format("dates such as {}", printable(dates->values.back(), 30))
                             : months         ? "columns of years and months"
                                              : "columns of years, months and days"});
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
    const Sighting* table = with_role(all, "temperature.minimum");
    if (table == nullptr) {
        table = with_role(all, "rain.source");
    }
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
    bool unit_told = false;
    for (const FieldSeen& field : table->layer->fields) {
        static constexpr std::array<std::string_view, 6> kUnits{"c", "f", "degc", "degf", "celsius", "fahrenheit"};
        unit_told = unit_told || !word_in(field.name, kUnits).empty();
    }
    add("minimum", kColdColumns);
    add("maximum", kWarmColumns);
    if (section.lines.size() != 2) {
        return std::nullopt;
    }
    if (!unit_told) {
        section.lines.push_back({"unit", toml_text("F"), "the columns do not say: C or F", true});
    }
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
