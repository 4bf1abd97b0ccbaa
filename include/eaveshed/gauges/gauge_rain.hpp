// The rain of a table of gauges.
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/core/season.hpp"
#include "eaveshed/gauges/gauge_normals.hpp"
#include "eaveshed/settings/settings.hpp"
#include "eaveshed/source/climate_info.hpp"
#include "eaveshed/source/feature_source.hpp"

namespace eaveshed {

struct GaugeRain {
    RainInfo info;                                 // its gauges are given
    std::vector<std::vector<double>> depths_mm;    // by station, one a step of the timeline; NaN missing
    std::shared_ptr<const NormalsSource> normals;  // null without
    std::vector<double> normals_of_stations;       // by station; NaN where there is none; empty without normals
};

// Reads the table, the places and the normals at them. Throws input errors; warns of depths that no climate has and of
// gauges far away. None where the footprints could not be opened: the table is looked at all the same.
// method.md 2.10 to 2.12.
[[nodiscard]] std::optional<GaugeRain> open_gauge_rain(const RainSettings& settings, const Season& season,
                                                       const VectorInfo* footprints, Findings& findings);

}  // namespace eaveshed
