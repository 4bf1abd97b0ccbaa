// Vector files looked at. Private to the module.
#pragma once

#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/survey/seen.hpp"

namespace eaveshed {

// Throws what the readers throw.
[[nodiscard]] std::vector<LayerSeen> layers_seen(const std::string& path, Findings& findings);

// The same of a text table that the reader of gauges' tables alone takes.
[[nodiscard]] std::vector<LayerSeen> text_seen(const std::string& path);

}  // namespace eaveshed
