// Calendars and dates. Months are 1..12, days of the month from 1.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace eaveshed {

// The calendars of the CF conventions (section 4.4.1) that rain records use. `standard` is Gregorian throughout
// (records begin after 1582).
// method.md 2.4.
enum class Calendar : std::uint8_t { standard, noleap, days_360 };

// CF names and their synonyms: standard, gregorian, proleptic_gregorian; noleap, 365_day; 360_day. Else none.
[[nodiscard]] std::optional<Calendar> calendar_from_text(std::string_view text);
[[nodiscard]] std::string_view to_text(Calendar calendar);

struct Date {
    int year = 0;
    int month = 1;
    int day = 1;
    friend auto operator<=>(const Date&, const Date&) = default;
};

// YYYY-MM-DD or YYYY-MM (its first day); a time of day after the date is ignored. None when it is no date of the
// calendar.
[[nodiscard]] std::optional<Date> date_from_text(std::string_view text, Calendar calendar);

// "1990-03-14", and "1990-03" of its month.
[[nodiscard]] std::string to_text(Date date);
[[nodiscard]] std::string year_month_text(Date date);

// "January" for 1; 1 to 12.
[[nodiscard]] std::string_view month_name(int month);
// An English name of a month or its beginning, of three letters or more, in upper or lower case; else none.
[[nodiscard]] std::optional<int> month_named(std::string_view word);

[[nodiscard]] int days_in_month(Calendar calendar, int year, int month);

// Days from 0000-01-01 of the calendar; differences are true numbers of days. Valid for any date of the calendar.
[[nodiscard]] std::int64_t day_number(Calendar calendar, Date date);
[[nodiscard]] Date date_of(Calendar calendar, std::int64_t number);

// Months of a mean year: 31, 28, 31, ... days.
// method.md 0.4.
inline constexpr std::array<int, 12> kMeanYearDays{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
[[nodiscard]] constexpr int mean_year_days(int month) {
    return kMeanYearDays.at(static_cast<std::size_t>(month - 1));
}

[[nodiscard]] constexpr int next_month(int month) {
    return month % 12 + 1;
}

}  // namespace eaveshed
