// The small basin with gauges in place of its rain grid.
#pragma once

#include <fmt/format.h>

#include <cmath>
#include <string>
#include <vector>

#include "eaveshed/core/calendar.hpp"
#include "run/run_project.hpp"
#include "run/small_basin.hpp"

namespace eaveshed {

inline constexpr int kGaugeDays = 6 * 365;

// Rain of a day at a gauge, mm: wet winters, dry summers, many dry days.
inline double gauge_day_mm(int day, int gauge) {
    const double winter = 1.0 + std::cos(2.0 * M_PI * (day - 60) / 365.25);
    const double here = std::sin(0.7 * day + 0.4 * gauge) + 0.2 * std::cos(1.3 * day * (gauge + 1));
    // Never 0.2 mm, which makes a day wet: a grid's interpolation may end on either side of it.
    return here > 0.5 ? 0.03 + std::round(150.0 * winter * (here - 0.5)) / 10.0 : 0.0;
}

inline Date gauge_date(int day) {
    return date_of(Calendar::standard, day_number(Calendar::standard, {1990, 10, 20}) + day);
}

// A cell of a table; empty for missing.
inline std::string gauge_cell(double value) {
    return std::isnan(value) ? std::string() : fmt::format("{}", value);
}

// The basin's project with other words under [rain], and more behind it.
inline std::string project_with_rain(const SmallBasin& basin, const std::string& rain) {
    std::string text = project_text(basin);
    const std::size_t begin = text.find("[rain]\n");
    std::size_t end = text.find("\n[", begin);
    end = end == std::string::npos ? text.size() : end + 1;
    return text.replace(begin, end - begin, "[rain]\n" + rain);
}

// The middle of a roof's rectangle: its interior point.
inline Point middle_of(const SmallRoof& roof) {
    const Ring ring = outline_of(roof).parts.at(0).outer;
    return {(ring[0].x + ring[2].x) / 2.0, (ring[0].y + ring[2].y) / 2.0};
}

}  // namespace eaveshed
