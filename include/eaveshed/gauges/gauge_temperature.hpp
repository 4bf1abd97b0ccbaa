// Monthly temperatures of gauges.
#pragma once

#include <optional>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/gauges/gauge_series.hpp"
#include "eaveshed/settings/settings.hpp"
#include "eaveshed/source/climate_info.hpp"
#include "eaveshed/source/feature_source.hpp"

namespace eaveshed {

struct GaugeTemperatures {
    GaugeTableInfo info;
    std::vector<MonthMeans> minimum_c;  // by station: means of the daily minima of each month over the whole record
    std::vector<MonthMeans> maximum_c;
};

// Reads the tables of minima and maxima, which may be one, and the places. Only stations with both are used. Throws
// input errors: as for rain; no unit, or one that the setting contradicts; a mean that no place on Earth has.
// None where the footprints could not be opened.
// method.md 4.13.
[[nodiscard]] std::optional<GaugeTemperatures> open_gauge_temperatures(const TemperatureSettings& settings,
                                                                       int nearest_stations,
                                                                       const VectorInfo* footprints,
                                                                       Findings& findings);

}  // namespace eaveshed
