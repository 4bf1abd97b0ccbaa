// A style as an OGC Styled Layer Descriptor 1.1 (OGC 05-078r4) with Symbology Encoding 1.1 (OGC 05-077r4) and Filter
// Encoding 1.1 (OGC 04-095).
#pragma once

#include <string>

#include "eaveshed/record/table.hpp"
#include "eaveshed/style/map_style.hpp"

namespace eaveshed {

// The whole file. `shape` is not none. Labels are those of the rules; a number in one is written as the viewer writes
// it: the encoding has no way to ask for decimals that every reader understands.
[[nodiscard]] std::string sld_text(const std::string& layer, LayerShape shape, const MapStyle& style);

}  // namespace eaveshed
