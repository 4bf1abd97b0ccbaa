// The sheet for the kitchen table: one property on two or three printed pages, for people who have never seen a map
// layer. What is not known is left out, or stands as "not known"; nothing on it is guessed or personal.
#pragma once

#include <string>

#include "eaveshed/property/property.hpp"
#include "eaveshed/settings/settings.hpp"

namespace eaveshed {

// The whole page, framed (pages/page_frame.hpp). `settings`: of the run, whose output units it speaks in; `version`: of
// the program that made the file.
[[nodiscard]] std::string property_page(const Property& property, const Settings& settings, const std::string& version);

}  // namespace eaveshed
