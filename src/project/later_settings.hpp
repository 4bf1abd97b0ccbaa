// Settings that belong to work to come. A project file may hold them already: they are told, and change nothing.
// Private to the module.
#pragma once

#include <algorithm>
#include <array>
#include <string_view>

namespace eaveshed {

inline constexpr std::array<std::string_view, 11> kLaterSettings{
    "streams.id",       "streams.low_flow_lps", "streams.derive",    "streams.stream_area_km2",
    "subbasins.source", "subbasins.layer",      "subbasins.id",      "notes.dry_line_max_m",
    "notes.storm_mm_h", "notes.canopy_ring_m",  "notes.canopy_share"};

// "section.key".
[[nodiscard]] constexpr bool is_later_setting(std::string_view name) {
    return std::ranges::find(kLaterSettings, name) != kLaterSettings.end();
}

[[nodiscard]] constexpr bool is_later_section(std::string_view section) {
    return section == "subbasins";
}

}  // namespace eaveshed
