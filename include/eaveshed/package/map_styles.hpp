// How the layers look when someone opens the file. Private to the module.
#pragma once

#include "eaveshed/package/map_style.hpp"

namespace eaveshed {

// Roofs by the summer take that they replace, with classes that do not depend on the basin, so that two basins compare.
[[nodiscard]] MapStyle roof_style();
// Pads by delivery: hue and mark differ together, for readers who see few hues.
[[nodiscard]] MapStyle pad_style();
[[nodiscard]] MapStyle use_point_style();

}  // namespace eaveshed
