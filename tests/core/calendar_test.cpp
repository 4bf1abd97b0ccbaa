#include "eaveshed/core/calendar.hpp"

#include <gtest/gtest.h>

#include <vector>

#include "eaveshed/core/constants.hpp"

namespace eaveshed {
namespace {

const std::vector<Calendar> kCalendars{Calendar::standard, Calendar::noleap, Calendar::days_360};

TEST(Calendar, KnowsTheNamesOfTheConventionsAndTheirSynonyms) {
    EXPECT_EQ(calendar_from_text("standard"), Calendar::standard);
    EXPECT_EQ(calendar_from_text("gregorian"), Calendar::standard);
    EXPECT_EQ(calendar_from_text("proleptic_gregorian"), Calendar::standard);
    EXPECT_EQ(calendar_from_text("noleap"), Calendar::noleap);
    EXPECT_EQ(calendar_from_text("365_day"), Calendar::noleap);
    EXPECT_EQ(calendar_from_text("360_day"), Calendar::days_360);
    EXPECT_FALSE(calendar_from_text("366_day"));
    EXPECT_FALSE(calendar_from_text(""));
    for (const Calendar calendar : kCalendars) {
        EXPECT_EQ(calendar_from_text(to_text(calendar)), calendar);
    }
}

TEST(Calendar, DatesAreWrittenWithAllTheirDigits) {
    EXPECT_EQ(to_text(Date{1990, 3, 4}), "1990-03-04");
    EXPECT_EQ(to_text(Date{850, 12, 31}), "0850-12-31");
    EXPECT_EQ(year_month_text({1990, 3, 4}), "1990-03");
}

TEST(Calendar, MonthsAreKnownByTheBeginningsOfTheirNames) {
    for (int month = 1; month <= 12; ++month) {
        EXPECT_EQ(month_named(month_name(month)), month);
        EXPECT_EQ(month_named(month_name(month).substr(0, 3)), month);
    }
    EXPECT_EQ(month_named("SEPT"), 9);
    EXPECT_EQ(month_named("jUne"), 6);
    for (const char* const word : {"", "ja", "marx", "mai", "januarys", "3"}) {
        EXPECT_FALSE(month_named(word)) << word;
    }
}

TEST(Calendar, FebruaryIsAsLongAsTheCalendarSays) {
    EXPECT_EQ(days_in_month(Calendar::standard, 2000, 2), 29);
    EXPECT_EQ(days_in_month(Calendar::standard, 1900, 2), 28);
    EXPECT_EQ(days_in_month(Calendar::standard, 2024, 2), 29);
    EXPECT_EQ(days_in_month(Calendar::standard, 2023, 2), 28);
    EXPECT_EQ(days_in_month(Calendar::noleap, 2024, 2), 28);
    EXPECT_EQ(days_in_month(Calendar::days_360, 2024, 2), 30);
    EXPECT_EQ(days_in_month(Calendar::days_360, 2023, 12), 30);
    EXPECT_EQ(days_in_month(Calendar::noleap, 2023, 12), 31);
}

// R8.4: 3e-5 kg m-2 s-1 over months of 28, 29, 30, 31 days (CF conventions, read; 1 kg m-2 is 1 mm).
TEST(Calendar, MonthsHaveTheSecondsThatRatesNeed) {
    const auto depth_mm = [](Calendar calendar, int year, int month) {
        return 3e-5 * kSecondsPerDay * days_in_month(calendar, year, month);
    };
    EXPECT_DOUBLE_EQ(kSecondsPerDay, 86400.0);
    EXPECT_NEAR(depth_mm(Calendar::noleap, 2000, 2), 72.576, 1e-9);
    EXPECT_NEAR(depth_mm(Calendar::standard, 2000, 2), 75.168, 1e-9);
    EXPECT_NEAR(depth_mm(Calendar::days_360, 2000, 1), 77.76, 1e-9);
    EXPECT_NEAR(depth_mm(Calendar::standard, 2000, 1), 80.352, 1e-9);
}

TEST(Calendar, CountsDaysBetweenDatesAsTheCalendarDoes) {
    const auto days = [](Calendar calendar, Date from, Date to) {
        return day_number(calendar, to) - day_number(calendar, from);
    };
    // The Unix epoch to 2000-01-01 is 10,957 days (946,684,800 s, POSIX).
    EXPECT_EQ(days(Calendar::standard, {1970, 1, 1}, {2000, 1, 1}), 10957);
    EXPECT_EQ(days(Calendar::noleap, {1970, 1, 1}, {2000, 1, 1}), 30 * 365);
    EXPECT_EQ(days(Calendar::days_360, {1970, 1, 1}, {2000, 1, 1}), 30 * 360);
    EXPECT_EQ(days(Calendar::standard, {2000, 2, 28}, {2000, 3, 1}), 2);
    EXPECT_EQ(days(Calendar::noleap, {2000, 2, 28}, {2000, 3, 1}), 1);
    EXPECT_EQ(days(Calendar::days_360, {2000, 2, 28}, {2000, 3, 1}), 3);
    EXPECT_EQ(days(Calendar::standard, {0, 1, 1}, {1, 1, 1}), 366);
    EXPECT_EQ(days(Calendar::standard, {1600, 1, 1}, {2000, 1, 1}), 146097);
    EXPECT_EQ(day_number(Calendar::standard, {0, 1, 1}), 0);
}

TEST(Calendar, EveryDayHasOneDateAndComesBackFromIt) {
    for (const Calendar calendar : kCalendars) {
        Date date{1896, 12, 1};
        std::int64_t number = day_number(calendar, date);
        while (date.year < 2005) {
            ASSERT_EQ(date_of(calendar, number), date);
            ASSERT_EQ(day_number(calendar, date), number);
            ++number;
            if (++date.day > days_in_month(calendar, date.year, date.month)) {
                date.day = 1;
                date.year += date.month == 12 ? 1 : 0;
                date.month = next_month(date.month);
            }
        }
        EXPECT_EQ(date_of(calendar, -1).year, -1);
        EXPECT_EQ(date_of(calendar, -1).month, 12);
    }
}

TEST(Calendar, ReadsDatesOfTheCalendarOnly) {
    EXPECT_EQ(date_from_text("1991-10-01", Calendar::standard), (Date{1991, 10, 1}));
    EXPECT_EQ(date_from_text("1991-10", Calendar::standard), (Date{1991, 10, 1}));
    EXPECT_EQ(date_from_text("1991-10-05T12:00:00Z", Calendar::standard), (Date{1991, 10, 5}));
    EXPECT_EQ(date_from_text("1991-10-05 00:00", Calendar::standard), (Date{1991, 10, 5}));
    EXPECT_EQ(date_from_text("2000-02-29", Calendar::standard), (Date{2000, 2, 29}));
    EXPECT_FALSE(date_from_text("2000-02-29", Calendar::noleap));
    EXPECT_EQ(date_from_text("2001-02-30", Calendar::days_360), (Date{2001, 2, 30}));
    EXPECT_FALSE(date_from_text("2001-01-31", Calendar::days_360));
}

TEST(Calendar, RefusesWhatIsNoDate) {
    for (const char* text :
         {"", "1991", "1991-13-01", "1991-00-01", "1991-01-00", "1991-1-01", "1991/10/01", "19911001", "-001-01",
          "1991--1-01", "+991-01-01", "1991-01-1 ", "1991-02-29", "1991-10-01x", " 991-01-01"}) {
        EXPECT_FALSE(date_from_text(text, Calendar::standard)) << text;
    }
}

TEST(Calendar, AMeanYearHas365Days) {
    int days = 0;
    for (int month = 1; month <= 12; ++month) {
        days += mean_year_days(month);
    }
    EXPECT_EQ(days, 365);
    EXPECT_EQ(mean_year_days(2), 28);
    EXPECT_EQ(next_month(12), 1);
    EXPECT_EQ(next_month(1), 2);
}

}  // namespace
}  // namespace eaveshed
