#include "eaveshed/site/climate.hpp"

#include <cmath>
#include <span>
#include <utility>

#include "eaveshed/core/error.hpp"
#include "eaveshed/demand/evapotranspiration.hpp"

namespace eaveshed {

KnownMonths months_at(const StepField& field, const std::optional<Point>& point) {
    KnownMonths months;
    const auto sampled = point ? sample_series(field, *point) : std::nullopt;
    for (std::size_t i = 0; sampled && i < months.size(); ++i) {
        if (!std::isnan(sampled->values[i])) {
            months[i] = sampled->values[i];
        }
    }
    return months;
}

BothTemperatures temperatures_at(const StationTemperatures& stations, std::span<const StationUse> uses) {
    BothTemperatures both;
    for (std::size_t month = 0; month < both.minimum_c.size(); ++month) {
        const auto station = first_value(uses, [&](std::uint32_t at) {
            const bool known =
                !std::isnan(stations.minimum_c.at(at).at(month)) && !std::isnan(stations.maximum_c.at(at).at(month));
            return known ? std::optional(at) : std::nullopt;
        });
        if (station) {
            both.minimum_c[month] = stations.minimum_c[*station][month];
            both.maximum_c[month] = stations.maximum_c[*station][month];
        }
    }
    return both;
}

namespace {

KnownMonths hargreaves_months(const KnownMonths& minimum_c, const KnownMonths& maximum_c, double latitude_deg) {
    KnownMonths months;
    for (int month = 1; month <= 12; ++month) {
        const auto i = static_cast<std::size_t>(month - 1);
        if (minimum_c[i] && maximum_c[i]) {
            const double radiation = extraterrestrial_radiation_mj(latitude_deg, middle_day_of_year(month));
            months[i] = hargreaves_mm_day(*minimum_c[i], *maximum_c[i], radiation);
        }
    }
    return months;
}

struct MonthsAt {
    const ClimatePlace& place;
    double latitude_deg;
    const StationTemperatures* stations;

    KnownMonths operator()(const AssumedEt0&) const { return {}; }
    KnownMonths operator()(const Et0Field& field) const { return months_at(field.mm_day, place.et0); }
    KnownMonths operator()(const TemperatureFields& fields) const {
        return hargreaves_months(months_at(fields.minimum_c, place.minimum_temperature),
                                 months_at(fields.maximum_c, place.maximum_temperature), latitude_deg);
    }
    KnownMonths operator()(const TemperatureStations&) const {
        const BothTemperatures both = temperatures_at(*stations, place.temperature_stations);
        return hargreaves_months(both.minimum_c, both.maximum_c, latitude_deg);
    }
};

// How many depths its series have.
std::size_t depths_of_rain(const RainOfPlaces& rain) {
    return std::visit([](const auto& held) { return held->steps; }, rain);
}

}  // namespace

RoofClimate::RoofClimate(std::shared_ptr<const RainRecord> record, RainOfPlaces rain,
                         std::shared_ptr<const Et0Basis> et0, std::shared_ptr<const StepField> minimum_c,
                         std::shared_ptr<const StationTemperatures> stations)
    : m_record(std::move(record)),
      m_rain(std::move(rain)),
      m_et0(std::move(et0)),
      m_minimum_c(std::move(minimum_c)),
      m_stations(std::move(stations)) {
    if (depths_of_rain(m_rain) != depth_count(*m_record)) {
        internal_error("rain of another length than its record");
    }
    if (std::holds_alternative<TemperatureStations>(*m_et0) && !m_stations) {
        internal_error("evapotranspiration from gauges without their temperatures");
    }
}

std::optional<SampledSeries> RoofClimate::rain_at(const ClimatePlace& place) const {
    if (const auto* const grid = std::get_if<std::shared_ptr<const SeriesField>>(&m_rain)) {
        return place.rain ? sample_series(**grid, *place.rain) : std::nullopt;
    }
    if (place.rain_stations.empty()) {
        return std::nullopt;
    }
    const auto& stations = *std::get<std::shared_ptr<const StationSeries>>(m_rain);
    return SampledSeries{rain_of_stations(timeline().kind, stations, place.rain_stations), false};
}

std::array<LaneSample, kLanes> RoofClimate::rain_in_lanes(std::span<const ClimatePlace* const> places,
                                                          std::vector<Lanes>& out) const {
    const auto* const grid = std::get_if<std::shared_ptr<const SeriesField>>(&m_rain);
    if (grid == nullptr) {
        out.resize(depth_count(*m_record));
        return {};
    }
    std::vector<std::optional<Point>> points;
    for (const ClimatePlace* const place : places) {
        points.push_back(place->rain);
    }
    return sample_lanes(**grid, points, out);
}

KnownMonths RoofClimate::et0_at(const ClimatePlace& place, double latitude_deg) const {
    return std::visit(MonthsAt{place, latitude_deg, m_stations.get()}, *m_et0);
}

KnownMonths RoofClimate::minimum_c_at(const ClimatePlace& place) const {
    if (m_minimum_c) {
        return months_at(*m_minimum_c, place.minimum_temperature);
    }
    return m_stations ? temperatures_at(*m_stations, place.temperature_stations).minimum_c : KnownMonths{};
}

}  // namespace eaveshed
