#include "eaveshed/arrays/time_axis.hpp"

#include <limits>

#include <gtest/gtest.h>

namespace eaveshed {
namespace {

constexpr NamedCalendar kStandard{Calendar::standard, true};
constexpr NamedCalendar kProleptic{Calendar::standard, false};
constexpr NamedCalendar kNoleap{Calendar::noleap, false};
constexpr NamedCalendar kDays360{Calendar::days_360, false};

std::optional<Date> date(const char* units, double value, NamedCalendar calendar = kStandard) {
    const auto known = TimeUnits::from_text(units, calendar);
    EXPECT_TRUE(known) << units;
    const auto moment = known ? known->moment(value) : std::nullopt;
    return moment ? std::optional(date_of_moment(calendar.calendar, *moment)) : std::nullopt;
}

TEST(TimeAxis, CountsFromTheReferenceDate) {
    EXPECT_EQ(date("days since 1990-01-01", 0), (Date{1990, 1, 1}));
    EXPECT_EQ(date("days since 1990-01-01", 31.5), (Date{1990, 2, 1}));
    EXPECT_EQ(date("days since 1990-1-1 00:00:00", 59), (Date{1990, 3, 1}));
    EXPECT_EQ(date("days since 1990-01-01", -1), (Date{1989, 12, 31}));
    EXPECT_EQ(date("Days since 1990-01-01T12:00:00Z", 0.4), (Date{1990, 1, 1}));
    EXPECT_EQ(date("days since 1990-01-01 12:00", 0.5), (Date{1990, 1, 2}));
    EXPECT_EQ(date("hours since 1900-01-01 00:00:0.0", 24.0 * 365), (Date{1901, 1, 1}));  // 1900 is no leap year
    EXPECT_EQ(date("seconds since 1970-01-01 00:00:00 UTC", 951782400), (Date{2000, 2, 29}));
    EXPECT_EQ(date("minutes since 2000-01-01 00:00:00 +00:00", 1439), (Date{2000, 1, 1}));
    EXPECT_EQ(date("days since 1990-01-01", 1.9999999999), (Date{1990, 1, 3}));  // rounding of a text
}

// CF conventions 4.4.1: noleap has 365 days in every year, 360_day twelve months of thirty.
TEST(TimeAxis, CalendarsCountTheirOwnDays) {
    EXPECT_EQ(date("days since 2000-01-01", 59, kStandard), (Date{2000, 2, 29}));
    EXPECT_EQ(date("days since 2000-01-01", 59, kNoleap), (Date{2000, 3, 1}));
    EXPECT_EQ(date("days since 2000-01-01", 59, kDays360), (Date{2000, 2, 30}));
    EXPECT_EQ(date("days since 2000-02-30", 1, kDays360), (Date{2000, 3, 1}));
    EXPECT_EQ(date("days since 1850-01-01", 365.0 * 150, kNoleap), (Date{2000, 1, 1}));
}

// 1 January of year 1 of the Julian calendar lies two days before that of the proleptic Gregorian one, and 15 October
// 1582 follows 4 October (derived from the leap rules).
TEST(TimeAxis, AMixedCalendarCountsJulianDaysBeforeItsReform) {
    EXPECT_EQ(date("days since 0001-01-01", 577735, kProleptic), (Date{1582, 10, 15}));
    EXPECT_EQ(date("days since 0001-01-01", 577737, kStandard), (Date{1582, 10, 15}));
    EXPECT_EQ(date("days since 1582-10-04", 1, kStandard), (Date{1582, 10, 15}));
    EXPECT_EQ(date("days since 1582-10-15", 1, kStandard), (Date{1582, 10, 16}));
    EXPECT_EQ(date("days since 1500-02-29", 1, kStandard), (Date{1500, 3, 11}));  // 1 March Julian
    // Julian days: 1721423.5 is 1 January of year 1 (Julian), 2451544.5 is 1 January 2000 (from memory).
    EXPECT_EQ(date("days since 0001-01-01", 2451544.5 - 1721423.5, kStandard), (Date{2000, 1, 1}));
}

TEST(TimeAxis, WhatIsNoFixedLengthOrNoDateIsNone) {
    for (const char* const text :
         {"", "days", "days since", "months since 1990-01-01", "years since 1990-01-01", "month as %Y%m.%f",
          "days since 1990", "days since 1990-13-01", "days since 1990-02-30", "days since 1990-01-01 25:00",
          "days since 1990-01-01 00:00:00 +05:30", "days since 1990-01-01 noon", "days after 1990-01-01",
          "days since -1-01-01", "days since 99999-01-01"}) {
        EXPECT_FALSE(TimeUnits::from_text(text, kStandard)) << text;
    }
    EXPECT_FALSE(date("days since 1990-01-01", 1e30));
    EXPECT_FALSE(date("days since 1990-01-01", -1e30));
    EXPECT_FALSE(date("days since 1990-01-01", std::numeric_limits<double>::quiet_NaN()));
    EXPECT_FALSE(date("days since 1990-01-01", std::numeric_limits<double>::infinity()));
}

TEST(TimeAxis, DatesWrittenAsNumbersAreRead) {
    EXPECT_EQ(date("day as %Y%m%d.%f", 19900316.5), (Date{1990, 3, 16}));
    EXPECT_EQ(date("day as %Y%m%d.%f", 20000229.0), (Date{2000, 2, 29}));
    EXPECT_FALSE(date("day as %Y%m%d.%f", 19900230.0));
    EXPECT_FALSE(date("day as %Y%m%d.%f", 19901301.0));
    EXPECT_FALSE(date("day as %Y%m%d.%f", 3.0));
}

TEST(TimeAxis, CalendarsByTheirNames) {
    EXPECT_TRUE(named_calendar("Gregorian")->mixed);
    EXPECT_FALSE(named_calendar("proleptic_gregorian")->mixed);
    EXPECT_EQ(named_calendar("365_day")->calendar, Calendar::noleap);
    EXPECT_EQ(named_calendar("360_day")->calendar, Calendar::days_360);
    EXPECT_FALSE(named_calendar("all_leap"));
    EXPECT_FALSE(named_calendar("julian"));
    EXPECT_FALSE(named_calendar(""));
}

}  // namespace
}  // namespace eaveshed
