#include "eaveshed/gauges/gauge_rain.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <span>
#include <string>
#include <utility>

#include <fmt/format.h>

#include "eaveshed/climate/rain_rules.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/gauges/gauge_network.hpp"
#include "eaveshed/gauges/gauge_rows.hpp"
#include "eaveshed/gauges/gauge_series.hpp"
#include "eaveshed/rain/years.hpp"
#include "eaveshed/words/unit_text.hpp"
#include "eaveshed/words/wording.hpp"
#include "gauge_sense.hpp"

namespace eaveshed {

namespace {

const std::string& only_table(const RainSettings& settings) {
    if (settings.source.size() != 1) {
        throw input_error("rain.source", fmt::format("{} tables of gauges", settings.source.size()),
                          "one table with all gauges", "put them together: a date, a station and a value in each line");
    }
    return settings.source.front();
}

GaugeRows rows_of(const RainSettings& settings, std::span<const std::string> known_ids, Findings& findings) {
    return read_gauge_rows({.setting = "rain.source",
                            .columns_setting = "rain.columns",
                            .quantity = GaugeQuantity::rain,
                            .columns = settings.columns,
                            .order = settings.date_order,
                            .mean_year = settings.kind == RainKind::monthly_normals,
                            .months = settings.kind != RainKind::daily,
                            .known_ids = known_ids},
                           only_table(settings), findings);
}

// Depths of the mean year's months added up: of days their means times the days of the month.
std::optional<double> mean_year_of(const Timeline& timeline, std::span<const double> depths_mm) {
    std::array<double, 12> sums{};
    std::array<double, 12> days{};
    for (std::size_t step = 0; step < depths_mm.size(); ++step) {
        if (!std::isnan(depths_mm[step])) {
            const auto month = static_cast<std::size_t>(timeline.steps[step].month - 1);
            sums.at(month) += depths_mm[step];
            days.at(month) += timeline.steps[step].days;
        }
    }
    double year_mm = 0.0;
    for (std::size_t month = 0; month < sums.size(); ++month) {
        if (days.at(month) == 0.0) {
            return std::nullopt;
        }
        year_mm += sums.at(month) / days.at(month) * kMeanYearDays.at(month);
    }
    return year_mm;
}

GaugeStation station_of(const Timeline& timeline, std::span<const double> depths_mm) {
    GaugeStation station;
    std::size_t missing = 0;
    for (std::size_t step = 0; step < depths_mm.size(); ++step) {
        if (std::isnan(depths_mm[step])) {
            ++missing;
        } else if (timeline.is_series()) {
            station.last = first_day(timeline, step);
            station.first = station.first ? station.first : station.last;
        }
    }
    station.missing_share = static_cast<double>(missing) / static_cast<double>(depths_mm.size());
    const bool whole_years = !timeline.is_series() || !counted_years(timeline, depths_mm).empty();
    station.mean_year_mm = whole_years ? mean_year_of(timeline, depths_mm) : std::nullopt;
    return station;
}

void warn_of_odd_depths(const GaugeRain& rain, Findings& findings) {
    for (std::size_t i = 0; i < rain.depths_mm.size(); ++i) {
        const GaugeStation& station = rain.info.gauges->stations[i];
        const std::string name = printable(station.id);
        double most = 0.0;
        for (const double depth : rain.depths_mm[i]) {
            most = std::isnan(depth) ? most : std::max(most, depth);
        }
        warn_of_odd_rain({.where = rain.info.where,
                          .place = fmt::format(" at '{}'", name),
                          .unit = rain.info.unit,
                          .daily = rain.info.timeline.kind == RainKind::daily,
                          .most_mm = most,
                          .year_mm = station.mean_year_mm},
                         findings);
        if (std::ranges::all_of(rain.depths_mm[i], [](double depth) { return std::isnan(depth); })) {
            findings.warn({rain.info.where, fmt::format("no value at '{}'", name), "a series of rain",
                           "correct the table, or take the gauge out"});
        }
    }
}

void add_stations(const GaugeRows& rows, const std::vector<UsedSeries>& used, const GaugeSeries& series,
                  GaugeRain& rain) {
    const Timeline& timeline = rain.info.timeline;
    std::vector<double> factors;
    for (const Step& step : timeline.steps) {
        factors.push_back(mm_per_value(rain.info.unit, static_cast<double>(step.days)));
    }
    for (const UsedSeries& one : used) {
        std::vector<double> depths_mm = series.values[one.series];
        for (std::size_t step = 0; step < depths_mm.size(); ++step) {
            depths_mm[step] *= factors[step];
        }
        GaugeStation station = station_of(timeline, depths_mm);
        station.id = rows.ids[one.series];
        station.degrees = one.degrees;
        rain.info.gauges->stations.push_back(std::move(station));
        rain.depths_mm.push_back(std::move(depths_mm));
    }
}

// The normals at the gauges; those at the roofs are read with the basin's climate. Looked at over the footprints, so
// that its faults show.
void add_normals(const RainSettings& settings, const VectorInfo& footprints, GaugeRain& rain, Findings& findings) {
    GaugeTableInfo& gauges = *rain.info.gauges;
    const bool placed = gauges.stations.front().degrees.has_value();
    if (settings.normals.empty()) {
        return;
    }
    if (!placed) {
        findings.warn({"rain.normals", "normals beside a gauge without a place", "where the gauge stands",
                       "they change nothing: give rain.stations, or leave the line out"});
        return;
    }
    auto normals = std::make_shared<NormalsSource>(NormalsSource::open(settings.normals, findings));
    gauges.normals_files = normals->files();
    if (const auto area = Transform(footprints.crs, normals->crs(), normals->where())(footprints.extent);
        area && !footprints.extent.empty()) {
        (void)normals->read(*area);
    }
    std::vector<Point> places;
    for (const GaugeStation& station : gauges.stations) {
        places.push_back(station.degrees.value());
    }
    rain.normals_of_stations = normals->at(places, rain.info.crs);
    for (std::size_t i = 0; i < places.size(); ++i) {
        if (std::isnan(rain.normals_of_stations[i])) {
            findings.warn({normals->where(), fmt::format("no normal at gauge '{}'", printable(gauges.stations[i].id)),
                           "a grid that reaches the gauges", "its rain is taken as it is"});
        }
    }
    rain.normals = std::move(normals);
}

}  // namespace

std::optional<GaugeRain> open_gauge_rain(const RainSettings& settings, const Season& season,
                                         const VectorInfo* footprints, Findings& findings) {
    const auto places = places_if_given("rain.stations", settings.stations, findings);
    const std::vector<std::string> known = places ? places->ids() : std::vector<std::string>();
    const GaugeRows rows = rows_of(settings, known, findings);
    tell_unused(rows.unused, "rain.columns", rows.where, findings);
    GaugeRain rain;
    RainInfo& info = rain.info;
    info.where = rows.where;
    info.files = {rows.file};
    info.unit = rain_unit(rows.where, rows.unit, settings);
    GaugeSeries series = series_in_steps(rows, settings.kind, settings.calendar, season, findings);
    info.timeline = std::move(series.timeline);
    info.gauges = GaugeTableInfo{.where = rows.where, .files = info.files};
    info.gauges->nearest = static_cast<std::size_t>(settings.nearest_stations);
    info.gauges->dates = rows.order;
    if (places) {
        info.gauges->places_where = places->where;
        info.gauges->place_files = {places->file};
    }
    const auto used = used_series(rows.ids, places, footprints, rows.where, "rain.stations", findings);
    add_stations(rows, used, series, rain);
    if (!settings.start.empty()) {
        findings.warn({"rain.start", "a setting without effect", "a series without dates",
                       "leave the line out: a table of gauges has its dates"});
    }
    require_sense(rain, findings);
    warn_of_odd_depths(rain, findings);
    if (footprints == nullptr) {
        return std::nullopt;
    }
    info.crs = footprints->crs.geographic();
    add_normals(settings, *footprints, rain, findings);
    warn_of_far_gauges(*info.gauges, *footprints, findings);
    return rain;
}

}  // namespace eaveshed
