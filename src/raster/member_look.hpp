// One file of a raster, looked at once. Private to the module.
#pragma once

#include <string>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/raster/raster_mosaic.hpp"

namespace eaveshed {

// Throws input errors: no plain numbers, no place, no CRS, units that contradict each other, several bands of which
// none is asked for, files of a VRT that do not fit it. Its place in the whole is left open.
[[nodiscard]] MosaicMember looked_at(const std::string& setting, const std::string& file, const RasterRequest& request,
                                     Findings& findings);

}  // namespace eaveshed
