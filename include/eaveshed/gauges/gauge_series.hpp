// The values of a table of gauges in steps of time: days, months, or the months of a mean year.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/core/season.hpp"
#include "eaveshed/core/timeline.hpp"
#include "eaveshed/gauges/gauge_rows.hpp"

namespace eaveshed {

struct GaugeSeries {
    Timeline timeline;
    std::vector<std::vector<double>> values;  // by station, one for each step, as the table has them; NaN missing
};

// From the first to the last date of the table; a step that it leaves out is missing. Of months any day of the month
// may be written. `calendar`: a CF name from the settings; empty: 360_day where the table has a 30 February, noleap
// where two or more leap days are passed over between a 28 February and a 1 March and none is there, which is told;
// else standard. Throws input errors: a date that the calendar does not have, a date twice (both lines named), days in
// place of months or months in place of days, not twelve months of a mean year, no complete tank year.
// method.md 2.10.
[[nodiscard]] GaugeSeries series_in_steps(const GaugeRows& rows, RainKind kind, const std::string& calendar,
                                          const Season& season, Findings& findings);

// Means of all values of each month, January first, whatever the lines are: days, months or the twelve of a mean year.
// By station; NaN where there is none. A date twice is an input error.
// method.md 4.13.
using MonthMeans = std::array<double, 12>;
[[nodiscard]] std::vector<MonthMeans> month_means(const GaugeRows& rows);

}  // namespace eaveshed
