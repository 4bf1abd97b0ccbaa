#include "eaveshed/rain/mean_year.hpp"

#include <gtest/gtest.h>

#include <limits>
#include <vector>

#include "eaveshed/rain/condense.hpp"

namespace eaveshed {
namespace {

const std::vector<int> kFill{11, 12, 1, 2, 3, 4, 5};
const std::vector<int> kForbear{8, 9, 10};
const Season kSeason{MonthSet(kFill), MonthSet(kForbear), MonthSet(kForbear), 11};

// method.md 2.9.
TEST(MeanYear, OfAMeanYearIsItself) {
    const RainRecord record = record_of_months(make_normals_timeline(kSeason));
    std::vector<double> depths;  // from November on
    for (int i = 0; i < 12; ++i) {
        depths.push_back(10.0 * ((10 + i) % 12 + 1));
    }
    const auto year = mean_year_mm(record, depths);
    ASSERT_TRUE(year);
    for (std::size_t month = 0; month < 12; ++month) {
        EXPECT_DOUBLE_EQ((*year)[month], 10.0 * static_cast<double>(month + 1));
    }
    EXPECT_DOUBLE_EQ(sum_of_year(*year), 780.0);
    EXPECT_DOUBLE_EQ(sum_over(*year, kSeason.forbear), 270.0);
}

// Three months before the first tank year and two after the last count in nothing.
TEST(MeanYear, OfASeriesTakesTheCompleteTankYears) {
    const RainRecord record =
        record_of_months(make_series_timeline(RainKind::monthly, Calendar::standard, {2000, 8, 1}, 29, kSeason));
    std::vector<double> depths(29, 1000.0);
    for (std::size_t i = 3; i < 27; ++i) {
        depths[i] = i < 15 ? 20.0 : 40.0;
    }
    const auto year = mean_year_mm(record, depths);
    ASSERT_TRUE(year);
    for (const double depth : *year) {
        EXPECT_DOUBLE_EQ(depth, 30.0);
    }
}

TEST(MeanYear, DaysGiveTheSameWholeOrAsSpells) {
    const Timeline daily =
        make_series_timeline(RainKind::daily, Calendar::noleap, {2000, 11, 1}, std::size_t{2} * 365, kSeason);
    std::vector<double> rain(daily.steps.size(), 0.0);
    for (std::size_t day = 0; day < rain.size(); day += 7) {
        rain[day] = 1.0 + static_cast<double>(day % 13);
    }
    rain[14] = std::numeric_limits<double>::quiet_NaN();  // a day of which nothing is known: dry
    WetDays wet(daily.steps.size());
    wet.add(rain);
    const CondensedDays days = condense_days(daily, wet.wet(), kSeason);
    const RainRecord condensed = days;
    const RainRecord whole = as_recorded(daily);
    const auto a = mean_year_mm(condensed, keep_days(rain, days.wet_steps));
    const auto b = mean_year_mm(whole, rain);
    ASSERT_TRUE(a && b);
    EXPECT_EQ(*a, *b);
    double sum = 0.0;
    for (std::size_t day = 0; day < rain.size(); day += 7) {
        sum += day == 14 ? 0.0 : rain[day];
    }
    EXPECT_NEAR(sum_of_year(*a), sum / 2.0, 1e-9);
}

TEST(MeanYear, WithoutACountedYearIsNotKnown) {
    const RainRecord record = record_of_months(make_normals_timeline(kSeason));
    EXPECT_FALSE(mean_year_mm(record, std::vector<double>(12, std::numeric_limits<double>::quiet_NaN())));
}

}  // namespace
}  // namespace eaveshed
