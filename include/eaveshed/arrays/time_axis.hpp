// Time coordinates of the CF conventions (section 4.4) as dates: "days since 1850-01-01" in a calendar.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "eaveshed/core/calendar.hpp"

namespace eaveshed {

// A calendar as a file names it. `mixed`: standard and gregorian count Julian days before 15 October 1582, which
// matters only for where the count starts; proleptic_gregorian does not.
struct NamedCalendar {
    Calendar calendar = Calendar::standard;
    bool mixed = true;
};
// Letter case counts nothing. None for calendars that this program does not know (366_day, julian, none).
[[nodiscard]] std::optional<NamedCalendar> named_calendar(std::string_view text);

class TimeUnits {
public:
    // days, hours, minutes or seconds since a date with or without a time of day; months and years are no fixed lengths
    // and give none, as does anything else that is not understood. Also "day as %Y%m%d.%f": dates written as numbers.
    [[nodiscard]] static std::optional<TimeUnits> from_text(std::string_view text, NamedCalendar calendar);

    // Days from 0000-01-01 of the calendar, to half a second. None for values beyond 20,000 years or not finite, and
    // for what is no date of an absolute axis.
    [[nodiscard]] std::optional<double> moment(double value) const;

private:
    Calendar m_calendar = Calendar::standard;
    bool m_absolute = false;  // 19900316.5 is noon of 16 March 1990
    double m_seconds_per_unit = 86400.0;
    std::int64_t m_first_day = 0;  // day number of the reference date
    double m_first_seconds = 0.0;  // its time of day
};

// The day on which a moment falls; what is less than half a second before midnight belongs to the next day.
[[nodiscard]] Date date_of_moment(Calendar calendar, double moment);

}  // namespace eaveshed
