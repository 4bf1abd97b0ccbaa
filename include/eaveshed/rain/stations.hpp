// Rain at a roof from the series of gauges.
//
// Of days the nearest gauge with a value tells the day: gauges are not mixed, since that would make more wet days and
// run events into one another. Of months their mean counts, weighted by 1 / distance squared. A gauge's rain is brought
// to the roof by the ratio of their normals (the normal-ratio method: Paulhus and Kohler 1952, Interpolation of missing
// precipitation records, Monthly Weather Review 80).
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "eaveshed/core/timeline.hpp"

namespace eaveshed {

// A gauge that a roof may draw on.
struct StationUse {
    std::uint32_t station = 0;           // position among the stations
    std::optional<double> distance_m{};  // none of the only one, which counts everywhere
    double factor = 1.0;                 // normal at the roof / normal at the gauge
};

// Series by station, all of `steps` values; NaN is missing. One that no roof draws on is empty.
struct StationSeries {
    std::size_t steps = 0;
    std::vector<std::vector<double>> values;
};

// Per step the value of the first of `uses` that has one, times its factor; NaN where none has. `uses`: nearest first.
// method.md 2.11.
[[nodiscard]] std::vector<double> nearest_values(const StationSeries& series, std::span<const StationUse> uses);

// Per step the mean of `uses` with a value, times their factors, weighted by 1 / max(distance, 1 m) squared; NaN where
// none has one. A single gauge's values are its own, times the factor.
// method.md 2.11.
[[nodiscard]] std::vector<double> weighted_values(const StationSeries& series, std::span<const StationUse> uses);

// The one or the other, by the kind of the record.
[[nodiscard]] std::vector<double> rain_of_stations(RainKind kind, const StationSeries& series,
                                                   std::span<const StationUse> uses);

// The value of the first of `uses` for which `value(station)` gives one; none where none does. Nearest first.
template <typename Value>
[[nodiscard]] auto first_value(std::span<const StationUse> uses, Value value) -> decltype(value(std::uint32_t{})) {
    for (const StationUse& use : uses) {
        if (auto found = value(use.station)) {
            return found;
        }
    }
    return std::nullopt;
}

}  // namespace eaveshed
