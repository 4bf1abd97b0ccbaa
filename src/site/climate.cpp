#include "eaveshed/site/climate.hpp"

#include <cmath>
#include <utility>

#include "eaveshed/core/error.hpp"
#include "eaveshed/demand/evapotranspiration.hpp"

namespace eaveshed {

namespace {

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

    KnownMonths operator()(const AssumedEt0&) const { return {}; }
    KnownMonths operator()(const Et0Field& field) const { return months_at(field.mm_day, place.et0); }
    KnownMonths operator()(const TemperatureFields& fields) const {
        return hargreaves_months(months_at(fields.minimum_c, place.minimum_temperature),
                                 months_at(fields.maximum_c, place.maximum_temperature), latitude_deg);
    }
};

}  // namespace

RoofClimate::RoofClimate(std::shared_ptr<const RainRecord> record, std::shared_ptr<const SeriesField> rain,
                         std::shared_ptr<const Et0Basis> et0, std::shared_ptr<const StepField> minimum_c)
    : m_record(std::move(record)), m_rain(std::move(rain)), m_et0(std::move(et0)), m_minimum_c(std::move(minimum_c)) {
    if (m_rain->steps != depth_count(*m_record)) {
        internal_error("rain of another length than its record");
    }
}

std::optional<SampledSeries> RoofClimate::rain_at(const ClimatePlace& place) const {
    return place.rain ? sample_series(*m_rain, *place.rain) : std::nullopt;
}

KnownMonths RoofClimate::et0_at(const ClimatePlace& place, double latitude_deg) const {
    return std::visit(MonthsAt{place, latitude_deg}, *m_et0);
}

KnownMonths RoofClimate::minimum_c_at(const ClimatePlace& place) const {
    return m_minimum_c ? months_at(*m_minimum_c, place.minimum_temperature) : KnownMonths{};
}

}  // namespace eaveshed
