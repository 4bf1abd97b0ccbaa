// method.md 2.7: which tank years count.
#include "eaveshed/rain/years.hpp"

#include <gtest/gtest.h>

#include <array>
#include <limits>
#include <utility>
#include <vector>

#include "../support/random_numbers.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/core/quantile.hpp"
#include "eaveshed/core/year_statistics.hpp"
#include "support/plain_values.hpp"

namespace eaveshed {
namespace {

using testing::autumn;
using testing::kNaN;

using testing::RandomNumbers;

Timeline daily_years(Calendar calendar, int first_year, int years) {
    const Date first{first_year, 11, 1};
    const auto steps =
        static_cast<std::size_t>(day_number(calendar, {first_year + years, 11, 1}) - day_number(calendar, first));
    return make_series_timeline(RainKind::daily, calendar, first, steps, autumn());
}

// How many of the years count when the second lacks so many days.
std::size_t counted_with_missing_days(const Timeline& timeline, std::size_t missing) {
    std::vector<double> rain(timeline.steps.size(), 1.0);
    for (std::size_t i = 0; i < missing; ++i) {
        rain[timeline.years[1].begin + 3 * i] = kNaN;
    }
    return counted_years(timeline, rain).size();
}

TEST(Years, AYearWithMoreThanFivePercentMissingDaysDoesNotCount) {
    // 5 % of 365 days are 18.25, of 366 18.3, of 360 exactly 18.
    EXPECT_EQ(counted_with_missing_days(daily_years(Calendar::noleap, 2000, 3), 18), 3U);
    EXPECT_EQ(counted_with_missing_days(daily_years(Calendar::noleap, 2000, 3), 19), 2U);
    EXPECT_EQ(counted_with_missing_days(daily_years(Calendar::standard, 2002, 3), 18), 3U);  // 366 days
    EXPECT_EQ(counted_with_missing_days(daily_years(Calendar::standard, 2002, 3), 19), 2U);
    EXPECT_EQ(counted_with_missing_days(daily_years(Calendar::days_360, 2000, 3), 18), 3U);
    EXPECT_EQ(counted_with_missing_days(daily_years(Calendar::days_360, 2000, 3), 19), 2U);
}

TEST(Years, TheOthersKeepTheirPlaceWhenOneDoesNotCount) {
    const Timeline timeline = daily_years(Calendar::standard, 2000, 3);
    std::vector<double> rain(timeline.steps.size(), 1.0);
    for (std::size_t i = timeline.years[1].begin; i < timeline.years[1].begin + 40; ++i) {
        rain[i] = kNaN;
    }
    const auto counted = counted_years(timeline, rain);
    ASSERT_EQ(counted.size(), 2U);
    EXPECT_EQ(counted[0].name, 2001);
    EXPECT_EQ(counted[1].name, 2003);
    EXPECT_EQ(counted[1].begin, timeline.years[2].begin);
}

TEST(Years, AMissingMonthIsMissingByItsDays) {
    const Timeline timeline = make_series_timeline(RainKind::monthly, Calendar::noleap, {2000, 11, 1}, 24, autumn());
    std::vector<double> rain(24, 50.0);
    EXPECT_EQ(counted_years(timeline, rain).size(), 2U);
    rain[3] = kNaN;  // February: 28 of 365 days
    EXPECT_EQ(counted_years(timeline, rain).size(), 1U);
}

TEST(Years, MissingStepsAreDry) {
    EXPECT_EQ(dry_where_missing(std::vector<double>{kNaN, 2.0, kNaN, 0.0}), (std::vector<double>{0.0, 2.0, 0.0, 0.0}));
}

TEST(Years, SumsTakeTheMonthsAskedForAndNoOthers) {
    const Timeline timeline = make_series_timeline(RainKind::monthly, Calendar::standard, {2000, 9, 1}, 28, autumn());
    std::vector<double> values(28);
    for (std::size_t i = 0; i < values.size(); ++i) {
        values[i] = timeline.steps[i].month + (i < 14 ? 0.0 : 100.0);
    }
    ASSERT_EQ(timeline.years.size(), 2U);
    EXPECT_EQ(year_sums(values, timeline, autumn().fill, timeline.years),
              (std::vector<double>{11 + 12 + 1 + 2 + 3 + 4 + 5, 738}));
    EXPECT_EQ(year_sums(values, timeline, autumn().forbear, timeline.years), (std::vector<double>{27, 327}));
    const std::vector<TankYear> second{timeline.years[1]};
    EXPECT_EQ(year_sums(values, timeline, autumn().forbear, second), (std::vector<double>{327}));
    EXPECT_THROW((void)year_sums(std::vector<double>(3), timeline, autumn().fill, timeline.years), Error);
}

// R3.11: derived: the value reached in 80 % of winters is a quantile of season totals, 400, and not the 200 of adding
// quantiles of the months.
TEST(Years, TheDependableHarvestIsAQuantileOfSeasonTotals) {
    const std::vector<double> november{100, 300, 200, 150};
    const std::vector<double> december{300, 100, 200, 250};
    const Timeline timeline = make_series_timeline(RainKind::monthly, Calendar::standard, {2000, 11, 1}, 48, autumn());
    std::vector<double> values(48, 0.0);
    for (std::size_t year = 0; year < 4; ++year) {
        values[12 * year] = november[year];
        values[12 * year + 1] = december[year];
    }
    const auto totals = year_sums(values, timeline, autumn().fill, timeline.years);
    EXPECT_DOUBLE_EQ(year_statistics(totals, 0.80).dependable, 400.0);
    EXPECT_DOUBLE_EQ(year_statistics(november, 0.80).dependable + year_statistics(december, 0.80).dependable, 200.0);
}

TEST(Years, TheOrderOfTheYearsDoesNotMatterToTheStatistics) {
    for (std::uint64_t seed = 0; seed < 100; ++seed) {
        RandomNumbers random(seed);
        // In a calendar of 360 days any two years can change places.
        const Timeline timeline = daily_years(Calendar::days_360, 1980, 12);
        std::vector<double> values(timeline.steps.size());
        for (double& value : values) {
            value = random.chance(0.6) ? 0.0 : random.between(0.0, 3.0);
        }
        std::vector<double> swapped = values;
        const TankYear& a = timeline.years[static_cast<std::size_t>(random.whole(0, 5))];
        const TankYear& b = timeline.years[static_cast<std::size_t>(random.whole(6, 11))];
        for (std::size_t i = 0; i < 360; ++i) {
            std::swap(swapped[a.begin + i], swapped[b.begin + i]);
        }
        const auto before = year_statistics(year_sums(values, timeline, autumn().fill, timeline.years), 0.8);
        const auto after = year_statistics(year_sums(swapped, timeline, autumn().fill, timeline.years), 0.8);
        EXPECT_EQ(before.mean, after.mean);
        EXPECT_EQ(before.median, after.median);
        EXPECT_EQ(before.dependable, after.dependable);
        EXPECT_EQ(before.worst, after.worst);
    }
}

}  // namespace
}  // namespace eaveshed
