// What holds of every rain record, of grids and of gauges: names, units, how long it has to be, and depths that no
// climate has.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/core/season.hpp"
#include "eaveshed/core/timeline.hpp"
#include "eaveshed/settings/settings.hpp"

namespace eaveshed {

// The names of rain in the CF standard name table.
[[nodiscard]] const std::vector<std::string>& rain_standard_names();

// The unit as the file says, or as the settings do. `text`: what the file says, empty when nothing. Throws an input
// error where neither says it, where the two contradict each other, and for the depth of a month in a record of days.
// method.md 2.2.
[[nodiscard]] RainUnit rain_unit(const std::string& where, const std::string& text, const RainSettings& settings);

// Throws an input error where a series has no complete tank year.
// method.md 2.6.
void require_tank_year(const std::string& where, const Timeline& timeline, const Season& season);

// The rain of a place, or of all cells of a grid, as it was read.
struct RainSeen {
    std::string where;
    std::string place{};  // " at 'A1'"; empty of a grid
    RainUnit unit = RainUnit::mm;
    bool daily = false;
    double most_mm = 0.0;             // of a step
    std::optional<double> year_mm{};  // of the mean year; none where it is not known
};
// Warns of depths and totals that no climate has: a wrong unit, most of the time.
void warn_of_odd_rain(const RainSeen& rain, Findings& findings);

}  // namespace eaveshed
