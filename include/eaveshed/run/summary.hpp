// The short tables that people read at the end of a run.
#pragma once

#include <string>

#include "eaveshed/run/screen.hpp"

namespace eaveshed {

// Roofs by status, delivery and what limits them; harvest, forbearance volume and flow; the best roofs; the file to
// open.
[[nodiscard]] std::string summary_text(const Project& project, const ScreenResult& result);

}  // namespace eaveshed
