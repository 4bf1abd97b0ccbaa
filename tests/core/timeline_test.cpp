// method.md 2.6: tank years.
#include "eaveshed/core/timeline.hpp"

#include <gtest/gtest.h>

#include <array>
#include <vector>

#include "eaveshed/core/error.hpp"

namespace eaveshed {
namespace {

Season season_of(const std::vector<int>& forbear) {
    const MonthSet set(forbear);
    return {.fill = {}, .forbear = set, .draw = set, .first_month = next_month(last_of_run(set).value_or(12))};
}

Season autumn() {
    return season_of({8, 9, 10});
}

// Steps of a record of days from one date up to and without another.
std::size_t days_between(Calendar calendar, Date from, Date to) {
    return static_cast<std::size_t>(day_number(calendar, to) - day_number(calendar, from));
}

Timeline days(Calendar calendar, Date from, Date to, const Season& season) {
    return make_series_timeline(RainKind::daily, calendar, from, days_between(calendar, from, to), season);
}

TEST(Timeline, ATankYearIsNamedByTheYearInWhichItEnds) {
    const Timeline timeline = days(Calendar::standard, {1999, 11, 1}, {2001, 11, 1}, autumn());
    ASSERT_EQ(timeline.years.size(), 2U);
    EXPECT_EQ(timeline.years[0].name, 2000);
    EXPECT_EQ(timeline.years[1].name, 2001);
    EXPECT_EQ(timeline.partial_years, 0);
    EXPECT_EQ(timeline.years[0].begin, 0U);
    EXPECT_EQ(timeline.years[0].end, 366U);  // holds 29 February 2000
    EXPECT_EQ(timeline.years[0].days, 366);
    EXPECT_EQ(timeline.years[1].begin, 366U);
    EXPECT_EQ(timeline.years[1].end, 731U);
    EXPECT_EQ(timeline.years[1].forbear_days, 92);
    // From 1 August: 92 days before the end.
    EXPECT_EQ(timeline.years[1].first_forbear, 731U - 92U);
}

TEST(Timeline, PartialYearsAtBothEndsAreCountedAndLeftOut) {
    const Timeline timeline = days(Calendar::standard, {1999, 10, 31}, {2001, 11, 2}, autumn());
    ASSERT_EQ(timeline.years.size(), 2U);
    EXPECT_EQ(timeline.years.front().begin, 1U);
    EXPECT_EQ(timeline.years.back().end, timeline.steps.size() - 1);
    EXPECT_EQ(timeline.partial_years, 2);

    const Timeline short_of_a_day = days(Calendar::standard, {1999, 11, 1}, {2000, 10, 31}, autumn());
    EXPECT_TRUE(short_of_a_day.years.empty());
    EXPECT_EQ(short_of_a_day.partial_years, 1);

    const Timeline late_by_a_day = days(Calendar::standard, {1999, 11, 2}, {2000, 11, 1}, autumn());
    EXPECT_TRUE(late_by_a_day.years.empty());
    EXPECT_EQ(late_by_a_day.partial_years, 1);

    const Timeline within_one_year = days(Calendar::standard, {2000, 3, 5}, {2000, 6, 1}, autumn());
    EXPECT_TRUE(within_one_year.years.empty());
    EXPECT_EQ(within_one_year.partial_years, 1);

    const Timeline over_one_turn = days(Calendar::standard, {2000, 3, 5}, {2001, 6, 1}, autumn());
    EXPECT_TRUE(over_one_turn.years.empty());
    EXPECT_EQ(over_one_turn.partial_years, 2);
}

TEST(Timeline, ATankYearThatStartsInJanuaryIsTheCalendarYear) {
    const Timeline timeline = days(Calendar::standard, {2003, 1, 1}, {2005, 1, 1}, season_of({10, 11, 12}));
    ASSERT_EQ(timeline.years.size(), 2U);
    EXPECT_EQ(timeline.years[0].name, 2003);
    EXPECT_EQ(timeline.years[0].days, 365);
    EXPECT_EQ(timeline.years[1].name, 2004);
    EXPECT_EQ(timeline.years[1].days, 366);
    EXPECT_EQ(timeline.years[1].forbear_days, 92);
}

TEST(Timeline, AForbearanceSeasonMayCrossTheNewYear) {
    // Southern summer: tank year from 1 March, forbearance December to February.
    const Timeline timeline = days(Calendar::standard, {2003, 3, 1}, {2004, 3, 1}, season_of({12, 1, 2}));
    ASSERT_EQ(timeline.years.size(), 1U);
    EXPECT_EQ(timeline.years[0].name, 2004);
    EXPECT_EQ(timeline.years[0].forbear_days, 91);  // 31 + 31 + 29
    EXPECT_EQ(timeline.years[0].first_forbear, 275U);
    EXPECT_EQ(timeline.steps[275].month, 12);
    EXPECT_EQ(timeline.steps[274].month, 11);
}

TEST(Timeline, YearsHaveTheLengthOfTheirCalendar) {
    const Timeline noleap = days(Calendar::noleap, {1999, 11, 1}, {2001, 11, 1}, autumn());
    ASSERT_EQ(noleap.years.size(), 2U);
    EXPECT_EQ(noleap.years[0].days, 365);
    EXPECT_EQ(noleap.years[0].forbear_days, 92);

    const Timeline days_360 = days(Calendar::days_360, {1999, 11, 1}, {2001, 11, 1}, autumn());
    ASSERT_EQ(days_360.years.size(), 2U);
    EXPECT_EQ(days_360.years[0].days, 360);
    EXPECT_EQ(days_360.years[0].forbear_days, 90);
    EXPECT_EQ(days_360.years[0].first_forbear, 270U);
}

TEST(Timeline, StepsOfDaysFollowTheCalendar) {
    for (const Calendar calendar : {Calendar::standard, Calendar::noleap, Calendar::days_360}) {
        const Date first{1995, 7, 13};
        const Timeline timeline = days(calendar, first, {2002, 3, 9}, autumn());
        for (std::size_t i = 0; i < timeline.steps.size(); ++i) {
            const Date date = date_of(calendar, day_number(calendar, first) + static_cast<std::int64_t>(i));
            ASSERT_EQ(timeline.steps[i].month, date.month);
            ASSERT_EQ(timeline.steps[i].days, 1);
        }
        for (const TankYear& year : timeline.years) {
            const Date begin = date_of(calendar, day_number(calendar, first) + static_cast<std::int64_t>(year.begin));
            EXPECT_EQ(begin, (Date{year.name - 1, 11, 1}));
        }
        ASSERT_EQ(timeline.years.size(), 6U);
        for (std::size_t i = 1; i < timeline.years.size(); ++i) {
            EXPECT_EQ(timeline.years[i].begin, timeline.years[i - 1].end);
        }
    }
}

TEST(Timeline, StepsOfMonthsHaveTheirTrueLength) {
    const Timeline timeline = make_series_timeline(RainKind::monthly, Calendar::standard, {1999, 9, 16}, 26, autumn());
    EXPECT_EQ(timeline.steps.size(), 26U);
    EXPECT_EQ(timeline.steps[0].month, 9);
    EXPECT_EQ(timeline.steps[0].days, 30);
    EXPECT_EQ(timeline.steps[5].days, 29);   // February 2000
    EXPECT_EQ(timeline.steps[17].days, 28);  // February 2001
    ASSERT_EQ(timeline.years.size(), 2U);    // September 1999 to October 2001
    EXPECT_EQ(timeline.partial_years, 1);
    EXPECT_EQ(timeline.years[0].begin, 2U);
    EXPECT_EQ(timeline.years[0].first_forbear, 11U);
    EXPECT_EQ(timeline.years[0].end, 14U);
    EXPECT_EQ(timeline.years[0].days, 366);
    EXPECT_EQ(timeline.years[0].forbear_days, 92);
    EXPECT_EQ(timeline.years[1].name, 2001);
    EXPECT_TRUE(timeline.is_series());
}

TEST(Timeline, KnowsTheFirstDayOfAStepAndTheLastOfAll) {
    const Timeline daily = days(Calendar::noleap, {2000, 2, 27}, {2000, 3, 3}, autumn());
    EXPECT_EQ(first_day(daily, 0), (Date{2000, 2, 27}));
    EXPECT_EQ(first_day(daily, 2), (Date{2000, 3, 1}));
    EXPECT_EQ(last_day(daily), (Date{2000, 3, 2}));
    const Timeline monthly = make_series_timeline(RainKind::monthly, Calendar::standard, {1999, 11, 1}, 4, autumn());
    EXPECT_EQ(first_day(monthly, 2), (Date{2000, 1, 1}));
    EXPECT_EQ(last_day(monthly), (Date{2000, 2, 29}));
}

TEST(Timeline, AMeanYearBeginsWithTheTankYear) {
    const Timeline timeline = make_normals_timeline(autumn());
    ASSERT_EQ(timeline.steps.size(), 12U);
    const std::array<int, 12> months{11, 12, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10};
    for (std::size_t i = 0; i < 12; ++i) {
        EXPECT_EQ(timeline.steps[i].month, months[i]);
        EXPECT_EQ(timeline.steps[i].days, mean_year_days(months[i]));
    }
    ASSERT_EQ(timeline.years.size(), 1U);
    EXPECT_EQ(timeline.years[0].days, 365);
    EXPECT_EQ(timeline.years[0].first_forbear, 9U);
    EXPECT_EQ(timeline.years[0].forbear_days, 92);
    EXPECT_EQ(timeline.partial_years, 0);
    EXPECT_FALSE(timeline.is_series());
    EXPECT_THROW((void)make_series_timeline(RainKind::monthly_normals, Calendar::noleap, {2000, 1, 1}, 12, autumn()),
                 Error);
}

}  // namespace
}  // namespace eaveshed
