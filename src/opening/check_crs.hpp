// Coordinate reference systems and datums of the inputs held against each other. Private to the module.
#pragma once

#include "eaveshed/core/finding.hpp"
#include "eaveshed/inputs/inputs.hpp"

namespace eaveshed {

// How accurately each input is brought to the footprints, and lengths that a projection stretches.
void check_crs(const Inputs& inputs, Findings& findings);

// What elevations and surface count from, and in what unit: never mixed in silence.
void check_vertical(const Inputs& inputs, bool surface_of_elevations, Findings& findings);

// A likely reason why an input lies elsewhere than the footprints: x and y exchanged in one of the two. Empty when it
// is not that.
[[nodiscard]] std::string reason_elsewhere(const VectorInfo& footprints, const InputPlace& place);

}  // namespace eaveshed
