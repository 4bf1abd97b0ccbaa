// Whether a table of gauges can be the rain of its steps. Private to the module.
#pragma once

#include "eaveshed/core/finding.hpp"
#include "eaveshed/gauges/gauge_rain.hpp"

namespace eaveshed {

// Throws input errors: values that add up since some date, and a record of which no tank year counts (method.md 2.7),
// whichever gauges stand in for each other. Warns where fewer than half of the complete tank years count.
void require_sense(const GaugeRain& rain, Findings& findings);

}  // namespace eaveshed
