// Raster files looked at. Private to the module.
#pragma once

#include <string>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/survey/seen.hpp"

namespace eaveshed {

// Throws what the readers throw.
[[nodiscard]] GridSeen grid_seen(const std::string& path, Findings& findings);

}  // namespace eaveshed
