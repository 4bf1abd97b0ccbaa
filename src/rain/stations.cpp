#include "eaveshed/rain/stations.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

namespace {

std::span<const double> series_of(const StationSeries& series, const StationUse& use) {
    const std::vector<double>& values = series.values.at(use.station);
    if (values.size() != series.steps) {
        internal_error("a gauge whose series was not kept");
    }
    return values;
}

}  // namespace

std::vector<double> nearest_values(const StationSeries& series, std::span<const StationUse> uses) {
    std::vector<double> values(series.steps, std::numeric_limits<double>::quiet_NaN());
    bool complete = false;
    for (std::size_t k = 0; k < uses.size() && !complete; ++k) {
        const std::span<const double> own = series_of(series, uses[k]);
        complete = true;
        for (std::size_t step = 0; step < own.size(); ++step) {
            if (std::isnan(values[step])) {
                values[step] = uses[k].factor * own[step];
                complete = complete && !std::isnan(own[step]);
            }
        }
    }
    return values;
}

std::vector<double> weighted_values(const StationSeries& series, std::span<const StationUse> uses) {
    if (uses.size() == 1) {
        return nearest_values(series, uses);
    }
    constexpr double kNearestM = 1.0;
    std::vector<double> sums(series.steps, 0.0);
    std::vector<double> weights(series.steps, 0.0);
    for (const StationUse& use : uses) {
        const std::span<const double> own = series_of(series, use);
        const double distance_m = std::max(use.distance_m.value_or(kNearestM), kNearestM);
        const double weight = 1.0 / (distance_m * distance_m);
        for (std::size_t step = 0; step < own.size(); ++step) {
            if (!std::isnan(own[step])) {
                sums[step] += weight * use.factor * own[step];
                weights[step] += weight;
            }
        }
    }
    for (std::size_t step = 0; step < sums.size(); ++step) {
        sums[step] = weights[step] > 0.0 ? sums[step] / weights[step] : std::numeric_limits<double>::quiet_NaN();
    }
    return sums;
}

std::vector<double> rain_of_stations(RainKind kind, const StationSeries& series, std::span<const StationUse> uses) {
    return kind == RainKind::daily ? nearest_values(series, uses) : weighted_values(series, uses);
}

}  // namespace eaveshed
