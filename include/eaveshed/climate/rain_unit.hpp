// The unit of a rain record: as its file says, or as the settings do.
#pragma once

#include <string>

#include "eaveshed/settings/settings.hpp"

namespace eaveshed {

// `text`: what the file says, empty when nothing. Throws an input error where neither says it, where the two
// contradict each other, and for the depth of a month in a record of days.
// method.md 2.2.
[[nodiscard]] RainUnit rain_unit(const std::string& where, const std::string& text, const RainSettings& settings);

}  // namespace eaveshed
