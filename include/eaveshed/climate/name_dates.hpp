// Dates in the names of files: rain_1990_03.tif, pr.199003.tif, 19900314.nc, rain-14.03.1990.tif, 1990_mar.tif.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace eaveshed {

// What a name says: 0 where it says nothing of it.
struct NameDate {
    int year = 0;
    int month = 0;
    int day = 0;
    friend auto operator<=>(const NameDate&, const NameDate&) = default;
};

// Every date that can be read in a file's name (without its folder and ending), each once, ascending; a year alone only
// where nothing more can be read. Years are 1800 to 2199. A day before its month, or a month before its day, are both
// listed where both could be meant.
[[nodiscard]] std::vector<NameDate> dates_in_name(const std::string& name);

// "1990-03-14", "1990-03" or "1990".
[[nodiscard]] std::string name_date_text(const NameDate& date);

// The month of each of twelve names, by the one number or the one month's name in which they differ: n_1 ... n_12,
// tmin_jan ... Empty where they do not say, or not each month once; none where they can be read in two ways.
[[nodiscard]] std::optional<std::vector<int>> months_in_names(const std::vector<std::string>& names);

}  // namespace eaveshed
