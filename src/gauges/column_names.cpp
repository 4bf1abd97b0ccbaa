#include "eaveshed/gauges/column_names.hpp"

#include <algorithm>
#include <array>
#include <cctype>

#include "eaveshed/words/unit_text.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr std::array<std::string_view, 14> kDateNames{
    "date",    "dates",   "datum",     "fecha",     "datetime", "time",     "timestamp",
    "obsdate", "dateutc", "localdate", "datelocal", "dateobs",  "yyyymmdd", "yyyymm",
};
constexpr std::array<std::string_view, 5> kYearNames{"year", "yr", "yyyy", "jahr", "ano"};
constexpr std::array<std::string_view, 5> kMonthNames{"month", "mon", "mo", "monat", "mes"};
constexpr std::array<std::string_view, 5> kDayNames{"day", "dd", "dy", "tag", "dom"};
constexpr std::array<std::string_view, 15> kStationNames{
    "stationid", "station", "stnid", "stn", "staid",       "siteid",      "site",         "gaugeid",
    "gauge",     "gageid",  "gage",  "id",  "stationcode", "stationname", "stationnumber"};
constexpr std::array<std::string_view, 18> kRainWords{
    "rain", "rainfall", "prec",  "precip", "precipitation", "prcp",         "pcp",           "pcpn",    "ppt",
    "pr",   "rr",       "pluie", "lluvia", "neerslag",      "niederschlag", "precipitacion", "pioggia", "chuva"};
constexpr std::array<std::string_view, 11> kMinimumWords{"tmin", "tmn",     "tn",     "min",  "minimum", "mintemp",
                                                         "low",  "tempmin", "tasmin", "mint", "tminc"};
constexpr std::array<std::string_view, 11> kMaximumWords{"tmax", "tmx",     "tx",     "max",  "maximum", "maxtemp",
                                                         "high", "tempmax", "tasmax", "maxt", "tmaxc"};
constexpr std::array<std::string_view, 5> kQualityWords{"flag", "flags", "quality", "qc", "attributes"};
constexpr std::array<std::string_view, 44> kOtherWords{
    "temp",    "temperature", "tavg",     "tmean",     "tas",       "mean",    "evap",     "evaporation", "et",
    "et0",     "eto",         "pet",      "snow",      "snowfall",  "snwd",    "swe",      "wind",        "wspd",
    "wdir",    "humidity",    "rh",       "pressure",  "radiation", "sun",     "sunshine", "flag",        "flags",
    "quality", "qc",          "source",   "remark",    "remarks",   "comment", "comments", "note",        "notes",
    "lat",     "lon",         "latitude", "longitude", "elevation", "elev",    "name",     "country"};

template <std::size_t N>
bool is_one_of(std::string_view word, const std::array<std::string_view, N>& words) {
    return std::ranges::find(words, word) != words.end();
}

std::vector<std::string> words_of(std::string_view name) {
    std::vector<std::string> words;
    bool inside = false;
    for (const char c : lower_case(name)) {
        const bool counts = std::isalnum(static_cast<unsigned char>(c)) != 0;
        if (counts && !inside) {
            words.emplace_back();
        }
        if (counts) {
            words.back() += c;
        }
        inside = counts;
    }
    return words;
}

template <std::size_t N>
bool any_of_words(const std::vector<std::string>& words, const std::array<std::string_view, N>& known) {
    return std::ranges::any_of(words, [&](const std::string& word) { return is_one_of(word, known); });
}

ColumnRole role_of(std::string_view base) {
    const std::string plain = plain_name(base);
    const std::vector<std::string> words = words_of(base);
    if (is_one_of(plain, kDateNames)) {
        return ColumnRole::date;
    }
    if (is_one_of(plain, kYearNames)) {
        return ColumnRole::year;
    }
    if (is_one_of(plain, kMonthNames)) {
        return ColumnRole::month;
    }
    if (is_one_of(plain, kDayNames)) {
        return ColumnRole::day;
    }
    if (is_one_of(plain, kStationNames)) {
        return ColumnRole::station;
    }
    // A quality flag of the rain is no rain.
    if (any_of_words(words, kQualityWords)) {
        return ColumnRole::other;
    }
    if (any_of_words(words, kRainWords)) {
        return ColumnRole::rain;
    }
    if (any_of_words(words, kMinimumWords)) {
        return ColumnRole::minimum;
    }
    if (any_of_words(words, kMaximumWords)) {
        return ColumnRole::maximum;
    }
    return any_of_words(words, kOtherWords) ? ColumnRole::other : ColumnRole::unknown;
}

bool is_unit(const std::string& text) {
    return rain_unit_from_text(text) || gauge_temperature_unit(text);
}

// "Rain (mm)", "rain [mm]"; what else stands in brackets is no unit: "Rain (North)", "Date (local)".
bool take_bracket(ColumnName& column) {
    const std::string& name = column.name;
    const char close = name.empty() ? '\0' : name.back();
    const std::size_t open = close == ')' ? name.rfind('(') : close == ']' ? name.rfind('[') : std::string::npos;
    if (open == std::string::npos || open == 0) {
        return false;
    }
    const std::string inside = name.substr(open + 1, name.size() - open - 2);
    column.unit = is_unit(inside) ? inside : "";
    column.base = name.substr(0, name.find_last_not_of(" _", open - 1) + 1);
    column.role = any_of_words(words_of(inside), kQualityWords) ? ColumnRole::other : role_of(column.base);
    return true;
}

// A unit that is hardly anything else.
bool is_length(const std::string& word) {
    return word == "mm" || word == "inch" || word == "inches" || word == "cm";
}

// "precip_mm", "Rain mm", "precip_mm_day", "mm" alone. A single letter, and "in", are units only behind the name of a
// quantity.
void take_last_unit(ColumnName& column) {
    constexpr std::string_view kBetween = "_ .-";
    const std::size_t at = column.name.find_last_of(kBetween);
    if (at == std::string::npos && is_length(lower_case(column.name))) {
        column.unit = column.name;
    }
    if (at == std::string::npos || at == 0) {
        return;
    }
    const std::string last = column.name.substr(at + 1);
    const std::string before = column.name.substr(0, at);
    const std::size_t earlier = before.find_last_of(kBetween);
    if (const std::string word = lower_case(last); (word == "day" || word == "month") && earlier != std::string::npos &&
                                                   rain_unit_from_text(before.substr(earlier + 1))) {
        column.unit = before.substr(earlier + 1) + " " + word + "-1";
        column.base = before.substr(0, earlier);
        return;
    }
    const ColumnRole role = role_of(before);
    const bool quantity = role == ColumnRole::rain || role == ColumnRole::minimum || role == ColumnRole::maximum;
    const std::string word = lower_case(last);
    if (is_length(word) || (quantity && is_unit(last))) {
        column.unit = last;
        column.base = before;
    }
}

}  // namespace

std::string plain_name(std::string_view name) {
    std::string plain;
    for (const std::string& word : words_of(name)) {
        plain += word;
    }
    return plain;
}

ColumnName column_name(const std::string& name) {
    ColumnName column{.name = name, .base = name, .unit = {}};
    if (!take_bracket(column)) {
        take_last_unit(column);
        column.role = role_of(column.base);
    }
    return column;
}

std::optional<GaugeTemperatureUnit> gauge_temperature_unit(const std::string& text) {
    constexpr std::array<std::string_view, 5> kFahrenheit{"f", "degf", "deg f", "fahrenheit",
                                                          "\xC2\xB0"
                                                          "f"};
    if (is_one_of(lower_case(text), kFahrenheit)) {
        return GaugeTemperatureUnit::fahrenheit;
    }
    const auto known = temperature_unit_from_text(text);
    if (!known) {
        return std::nullopt;
    }
    return *known == TemperatureUnit::kelvin ? GaugeTemperatureUnit::kelvin : GaugeTemperatureUnit::celsius;
}

}  // namespace eaveshed
