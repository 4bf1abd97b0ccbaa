#include "eaveshed/gauges/gauge_temperature.hpp"

#include <algorithm>
#include <cmath>
#include <set>
#include <span>
#include <string>
#include <utility>

#include <fmt/format.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/files/delimited_text.hpp"
#include "eaveshed/gauges/column_names.hpp"
#include "eaveshed/gauges/gauge_network.hpp"
#include "eaveshed/gauges/gauge_rows.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

// One of the two.
struct TemperatureRole {
    const char* setting;
    const char* column_setting;
    GaugeQuantity quantity;
    const std::vector<std::string>& paths;
    const std::string& column;
};

const std::string& only_path(const TemperatureRole& role) {
    if (role.paths.size() != 1) {
        throw input_error(role.setting, fmt::format("{} tables of gauges", role.paths.size()), "one table",
                          "put them together");
    }
    return role.paths.front();
}

GaugeRows rows_of_temperature(const TemperatureRole& role, const TemperatureSettings& settings,
                              const DelimitedText& table, std::span<const std::string> known_ids, Findings& findings) {
    return read_gauge_rows(
        {.setting = role.setting,
         .columns_setting = role.column_setting,
         .quantity = role.quantity,
         .columns = role.column.empty() ? std::vector<std::string>{} : std::vector<std::string>{role.column},
         .order = settings.date_order,
         .mean_year = true,
         .months = false,
         .known_ids = known_ids},
        table, findings);
}

struct TemperatureRows {
    GaugeRows minima;
    GaugeRows maxima;
};

// What both readings of one table say is told once; a column that one of them takes is used.
TemperatureRows rows_of_one(const TemperatureRole& minimum, const TemperatureRole& maximum,
                            const TemperatureSettings& settings, std::span<const std::string> known_ids,
                            Findings& findings) {
    const DelimitedText table = read_delimited(minimum.setting, only_path(minimum));
    Findings of_minima;
    Findings of_maxima;
    TemperatureRows rows{rows_of_temperature(minimum, settings, table, known_ids, of_minima),
                         rows_of_temperature(maximum, settings, table, known_ids, of_maxima)};
    std::set<std::string> told;
    for (const Findings* const some : {&of_minima, &of_maxima}) {
        for (const Finding& finding : some->list()) {
            if (told.insert(finding_line(finding)).second) {
                findings.add(finding);
            }
        }
    }
    std::vector<std::string> unused;
    std::ranges::copy_if(rows.minima.unused, std::back_inserter(unused), [&](const std::string& column) {
        return std::ranges::find(rows.maxima.unused, column) != rows.maxima.unused.end();
    });
    tell_unused(unused, "temperature.minimum_column or maximum_column", table.where, findings);
    return rows;
}

TemperatureRows temperature_rows(const TemperatureSettings& settings, std::span<const std::string> known_ids,
                                 Findings& findings) {
    const TemperatureRole minimum{"temperature.minimum", "temperature.minimum_column",
                                  GaugeQuantity::minimum_temperature, settings.minimum, settings.minimum_column};
    const TemperatureRole maximum{"temperature.maximum", "temperature.maximum_column",
                                  GaugeQuantity::maximum_temperature, settings.maximum, settings.maximum_column};
    if (only_path(minimum) == only_path(maximum)) {
        return rows_of_one(minimum, maximum, settings, known_ids, findings);
    }
    const auto read = [&](const TemperatureRole& role) {
        GaugeRows rows =
            rows_of_temperature(role, settings, read_delimited(role.setting, only_path(role)), known_ids, findings);
        tell_unused(rows.unused, role.column_setting, rows.where, findings);
        return rows;
    };
    TemperatureRows rows;
    rows.minima = read(minimum);
    rows.maxima = read(maximum);
    return rows;
}

GaugeTemperatureUnit unit_of(const GaugeRows& rows, GaugeTemperatureUnit setting) {
    const auto stated = gauge_temperature_unit(rows.unit);
    const bool set = setting != GaugeTemperatureUnit::from_file;
    if (!stated && !set) {
        throw input_error(rows.where,
                          rows.unit.empty() ? "no unit" : fmt::format("the unit \"{}\"", printable(rows.unit)),
                          "C, F or K, in the name of the column (tmin_c) or in the settings",
                          "set temperature.unit to what the values are");
    }
    if (stated && set && *stated != setting) {
        throw input_error(
            rows.where,
            fmt::format("the unit \"{}\" in the table, and another in temperature.unit", printable(rows.unit)),
            "one of them", "leave temperature.unit out if the table is right; else correct the table");
    }
    return stated.value_or(setting);
}

double celsius(double value, GaugeTemperatureUnit unit) {
    constexpr double kZeroCelsius = 273.15;       // K, exact
    constexpr double kFreezingFahrenheit = 32.0;  // exact
    constexpr double kFahrenheitPerDegree = 1.8;
    switch (unit) {
        case GaugeTemperatureUnit::kelvin: return value - kZeroCelsius;
        case GaugeTemperatureUnit::fahrenheit: return (value - kFreezingFahrenheit) / kFahrenheitPerDegree;
        case GaugeTemperatureUnit::from_file:
        case GaugeTemperatureUnit::celsius: break;
    }
    return value;
}

std::vector<MonthMeans> means_in_celsius(const GaugeRows& rows, GaugeTemperatureUnit setting) {
    constexpr double kColdest = -90.0;
    constexpr double kHottest = 60.0;
    const GaugeTemperatureUnit unit = unit_of(rows, setting);
    std::vector<MonthMeans> means = month_means(rows);
    for (std::size_t station = 0; station < means.size(); ++station) {
        for (double& mean : means[station]) {
            mean = celsius(mean, unit);
            if (mean < kColdest || mean > kHottest) {
                throw input_error(
                    rows.where,
                    fmt::format("a monthly mean of {:.1f} degrees C at '{}'", mean, printable(rows.ids[station])),
                    fmt::format("{} to {} degrees C", kColdest, kHottest),
                    "correct temperature.unit, or the values: tenths of a degree, or numbers that stand "
                    "for missing");
            }
        }
    }
    return means;
}

// The stations that both tables have; one in each belong together whatever they are called.
struct BothSeries {
    std::vector<std::string> ids;
    std::vector<std::size_t> minimum;
    std::vector<std::size_t> maximum;
};

// Those that the other table does not have.
void tell_single(const GaugeRows& rows, const GaugeRows& others, const char* what, Findings& findings) {
    std::vector<std::string> single;
    std::ranges::set_difference(rows.ids, others.ids, std::back_inserter(single));
    if (!single.empty()) {
        findings.warn({rows.where, fmt::format("gauges without {}: {}", what, listed(single)), "both for each",
                       "they are not used"});
    }
}

BothSeries both_of(const GaugeRows& minima, const GaugeRows& maxima, Findings& findings) {
    if (minima.ids.size() == 1 && maxima.ids.size() == 1) {
        return {minima.ids, {0}, {0}};
    }
    BothSeries both;
    for (std::size_t i = 0; i < minima.ids.size(); ++i) {
        const auto other = std::ranges::find(maxima.ids, minima.ids[i]);
        if (other != maxima.ids.end()) {
            both.ids.push_back(minima.ids[i]);
            both.minimum.push_back(i);
            both.maximum.push_back(static_cast<std::size_t>(other - maxima.ids.begin()));
        }
    }
    if (both.ids.empty()) {
        throw input_error(minima.where, "the gauges " + listed(minima.ids) + ", of which none has maxima",
                          "gauges of " + maxima.where + ": " + listed(maxima.ids), "write the same ids in both");
    }
    tell_single(minima, maxima, "maxima", findings);
    tell_single(maxima, minima, "minima", findings);
    return both;
}

// Minima above the maxima: the columns are exchanged.
void warn_of_exchanged(const GaugeTemperatures& temperatures, Findings& findings) {
    for (std::size_t station = 0; station < temperatures.minimum_c.size(); ++station) {
        for (std::size_t month = 0; month < temperatures.minimum_c[station].size(); ++month) {
            const double minimum_c = temperatures.minimum_c[station].at(month);
            const double maximum_c = temperatures.maximum_c[station].at(month);
            if (minimum_c > maximum_c) {
                findings.warn(
                    {temperatures.info.where,
                     fmt::format("minima of {:.1f} and maxima of {:.1f} degrees C in month {} at '{}'", minimum_c,
                                 maximum_c, month + 1, printable(temperatures.info.stations[station].id)),
                     "minima below the maxima", "look whether the two are exchanged"});
                return;
            }
        }
    }
}

}  // namespace

std::optional<GaugeTemperatures> open_gauge_temperatures(const TemperatureSettings& settings, int nearest_stations,
                                                         const VectorInfo* footprints, Findings& findings) {
    const auto places = places_if_given("temperature.stations", settings.stations, findings);
    const std::vector<std::string> known = places ? places->ids() : std::vector<std::string>();
    const auto [minima, maxima] = temperature_rows(settings, known, findings);
    const std::vector<MonthMeans> minimum_c = means_in_celsius(minima, settings.unit);
    const std::vector<MonthMeans> maximum_c = means_in_celsius(maxima, settings.unit);
    const BothSeries both = both_of(minima, maxima, findings);
    GaugeTemperatures temperatures;
    GaugeTableInfo& info = temperatures.info;
    info = {.where = minima.where, .files = {minima.file}};
    if (maxima.file != minima.file) {
        info.files.push_back(maxima.file);
    }
    info.nearest = static_cast<std::size_t>(nearest_stations);
    info.dates = minima.order;
    if (places) {
        info.places_where = places->where;
        info.place_files = {places->file};
    }
    for (const UsedSeries& used :
         used_series(both.ids, places, footprints, minima.where, "temperature.stations", findings)) {
        info.stations.push_back({.id = both.ids[used.series], .degrees = used.degrees});
        temperatures.minimum_c.push_back(minimum_c[both.minimum[used.series]]);
        temperatures.maximum_c.push_back(maximum_c[both.maximum[used.series]]);
    }
    warn_of_exchanged(temperatures, findings);
    if (footprints == nullptr) {
        return std::nullopt;
    }
    warn_of_far_gauges(info, *footprints, findings);
    return temperatures;
}

}  // namespace eaveshed
