// The look of every layer with a geometry. One way to read the map at three scales: far out the parcels by rank; from
// 1 : 12 000 the pads that decide; from 1 : 5 000 pipes, ground and use points; close by everything. Colours are told
// apart with any colour vision and in grey, and never carry a meaning alone: marks, dashes and outlines differ too.
#pragma once

#include <string_view>

#include "eaveshed/style/map_style.hpp"

namespace eaveshed {

// Null for a table without geometry. `with_parcels`: whether people decide by parcels; else by roofs. Lives as long as
// the program.
[[nodiscard]] const MapStyle* style_of(std::string_view table, bool with_parcels);

// What stands for no result wherever one is drawn.
inline constexpr std::string_view kNoResultGrey = "#bdbdbd";

}  // namespace eaveshed
