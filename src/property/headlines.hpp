// The headlines of a sheet with what they lie between. Private to the module.
#pragma once

#include "eaveshed/property/property.hpp"

namespace eaveshed {

[[nodiscard]] PropertyHeadlines headlines_of(const Property& property, const ParcelPad* pad, const Settings& settings);

// What of the property is to be looked at on site, the most telling first.
[[nodiscard]] std::vector<SiteCheck> checks_of(const Property& property);

}  // namespace eaveshed
