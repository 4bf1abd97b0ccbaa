// The sheet for the kitchen table: one property on two or three printed pages, for people who have never seen a map
// layer. What is not known is left out, or stands as "not known"; nothing on it is guessed or personal.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>

#include "eaveshed/property/property.hpp"
#include "eaveshed/settings/settings.hpp"

namespace eaveshed {

// What a sheet tells of the report that it is part of.
struct SheetReport {
    std::string version = {};               // of the program that made the file
    std::optional<std::int64_t> rank = {};  // of the parcel, and how many are ranked; none for one that is not
    std::size_t ranked = 0;
    std::string basin_page = {};  // its file, from where the sheet lies; empty for none
};

// The whole page, framed (page/page_frame.hpp). `settings`: of the run, whose output units it speaks in.
[[nodiscard]] std::string property_page(const Property& property, const Settings& settings, const SheetReport& report);

}  // namespace eaveshed
