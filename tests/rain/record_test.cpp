#include "eaveshed/rain/record.hpp"

#include <gtest/gtest.h>

#include <limits>

#include "eaveshed/core/error.hpp"
#include "support/plain_values.hpp"

namespace eaveshed {
namespace {

using testing::autumn;
using testing::kNaN;

// Two tank years; of the days, those of one November and the first of May are wet.
RainRecord days() {
    const Timeline daily = make_series_timeline(RainKind::daily, Calendar::standard, {1998, 11, 1}, 731, autumn());
    std::vector<bool> wet(daily.steps.size(), false);
    for (std::size_t day = 0; day < 30; ++day) {
        wet[day] = true;
    }
    wet[181] = true;
    return condense_days(daily, wet, autumn());
}
RainRecord months() {
    return record_of_months(make_series_timeline(RainKind::monthly, Calendar::standard, {1998, 11, 1}, 24, autumn()));
}
RainRecord mean_year() {
    return record_of_months(make_normals_timeline(autumn()));
}

std::array<double, 12> only(int month, double factor) {
    std::array<double, 12> factors{};
    factors.fill(1.0);
    factors.at(static_cast<std::size_t>(month - 1)) = factor;
    return factors;
}

TEST(RainRecord, HasADepthAMonthOrAWetDay) {
    EXPECT_EQ(depth_count(mean_year()), 12U);
    EXPECT_EQ(depth_count(months()), 24U);
    EXPECT_EQ(depth_count(days()), 31U);
    EXPECT_LT(timeline_of(days()).steps.size(), 100U);
}

TEST(RainRecord, RefusesATimelineOfAnotherKind) {
    EXPECT_THROW((void)MeanYear(timeline_of(months())), Error);
    EXPECT_THROW((void)MonthRecord(timeline_of(mean_year())), Error);
    EXPECT_THROW((void)record_of_months(timeline_of(days())), Error);
}

TEST(RainRecord, TakesItsDepthsOutOfASeriesAsRecorded) {
    std::vector<double> recorded(731, 0.0);
    recorded[3] = 7.0;
    recorded[181] = 9.0;
    const std::vector<double> depths = depths_of(days(), recorded);
    ASSERT_EQ(depths.size(), 31U);
    EXPECT_EQ(depths[3], 7.0);
    EXPECT_EQ(depths.back(), 9.0);
    EXPECT_EQ(depths_of(months(), std::vector<double>(24, 2.0)), std::vector<double>(24, 2.0));
}

// Thirty missing days of 365 are too many; so is a missing month.
TEST(RainRecord, CountsTheYearsWithEnoughDataWhateverItsKind) {
    std::vector<double> wet(31, kNaN);
    wet.back() = 1.0;
    EXPECT_EQ(counted_years(days(), wet).size(), 1U);
    EXPECT_EQ(counted_years(days(), std::vector<double>(31, 1.0)).size(), 2U);
    std::vector<double> of_months(24, 1.0);
    EXPECT_EQ(counted_years(months(), of_months).size(), 2U);
    of_months[0] = kNaN;
    EXPECT_EQ(counted_years(months(), of_months).size(), 1U);
    EXPECT_EQ(counted_years(mean_year(), std::vector<double>(12, 1.0)).size(), 1U);
}

TEST(RainRecord, ScalesTheDepthsOfAMonthAndNoOthers) {
    std::vector<double> wet(31, 2.0);
    scale_by_month(days(), only(5, 3.0), wet);
    EXPECT_EQ(wet.front(), 2.0);
    EXPECT_EQ(wet.back(), 6.0);
    std::vector<double> of_months(24, 2.0);
    scale_by_month(months(), only(12, 0.5), of_months);
    EXPECT_EQ(of_months[0], 2.0);
    EXPECT_EQ(of_months[1], 1.0);
    EXPECT_EQ(of_months[13], 1.0);
    std::vector<double> of_mean_year(12, 2.0);
    scale_by_month(mean_year(), only(11, 4.0), of_mean_year);
    EXPECT_EQ(of_mean_year[0], 8.0);  // the tank year begins in November
    EXPECT_EQ(of_mean_year[1], 2.0);
}

}  // namespace
}  // namespace eaveshed
