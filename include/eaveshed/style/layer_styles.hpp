// The look of every layer with a geometry. One way to read the map at three scales: far out the parcels by rank, or
// the roofs where there are none; from 1 : 12 000 the pads that decide; from 1 : 5 000 pipes, ground and use points;
// close by everything. Of an owner who opted out nothing is drawn but the parcel, crossed out; what rests on coarse
// elevations is faint. Colours are told apart with any colour vision and in grey, and never carry a meaning alone:
// marks, dashes and outlines differ too.
#pragma once

#include <string_view>

#include "eaveshed/style/map_style.hpp"

namespace eaveshed {

// What a file's styles depend on.
struct StyleChoice {
    bool with_parcels = true;  // people decide by parcels; else by roofs
    bool us = false;           // by the columns in US customary units, which the file has then
};

// Null for a table without geometry. Lives as long as the program.
[[nodiscard]] const MapStyle* style_of(std::string_view table, const StyleChoice& choice);

// What stands for no result wherever one is drawn.
inline constexpr std::string_view kNoResultGrey = "#bdbdbd";

}  // namespace eaveshed
