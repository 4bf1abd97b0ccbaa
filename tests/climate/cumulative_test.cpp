// docs/bad-input.md, 74: values that go on adding up.
#include "eaveshed/climate/cumulative.hpp"

#include <array>
#include <cmath>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace eaveshed {
namespace {

using ::testing::HasSubstr;

Season autumn() {
    constexpr std::array kForbear{8, 9, 10};
    const MonthSet forbear(kForbear);
    return {.fill = {}, .forbear = forbear, .draw = forbear, .first_month = 11};
}

Timeline three_years() {
    return make_series_timeline(RainKind::monthly, Calendar::standard, {1990, 11, 1}, 36, autumn());
}

// Wet winters, dry summers; by the month from November.
double depth_mm(std::size_t step) {
    constexpr std::array kDepths{60.0, 90.0, 110.0, 80.0, 70.0, 40.0, 20.0, 5.0, 0.0, 0.0, 10.0, 30.0};
    return kDepths.at(step % kDepths.size());
}

std::vector<double> depths() {
    std::vector<double> series;
    for (std::size_t step = 0; step < 36; ++step) {
        series.push_back(depth_mm(step));
    }
    return series;
}

// Sums that begin anew every `steps` steps.
std::vector<double> sums(std::size_t steps) {
    std::vector<double> series;
    double sum = 0.0;
    for (std::size_t step = 0; step < 36; ++step) {
        sum = step % steps == 0 ? depth_mm(step) : sum + depth_mm(step);
        series.push_back(sum);
    }
    return series;
}

std::string found(const std::vector<std::vector<double>>& cells) {
    const Timeline timeline = three_years();
    SeriesTrend trend(timeline);
    for (const auto& cell : cells) {
        trend.add(cell);
    }
    return trend.adding_up().value_or("rain");
}

TEST(SeriesTrend, RainRisesAndFalls) {
    EXPECT_EQ(found({depths()}), "rain");
    EXPECT_EQ(found({}), "rain");
    EXPECT_EQ(found({std::vector<double>(36, 0.0)}), "rain");
    EXPECT_EQ(found({std::vector<double>(36, 25.0)}), "rain");  // the same in every month is no trend
}

TEST(SeriesTrend, SumsNeverFallOrOnceAYear) {
    EXPECT_THAT(found({sums(36)}), HasSubstr("never fall"));
    EXPECT_THAT(found({sums(12)}), HasSubstr("once a year only"));
    std::vector<double> gaps = sums(36);
    gaps[5] = gaps[17] = std::nan("");
    EXPECT_THAT(found({gaps, std::vector<double>(36, 0.0)}), HasSubstr("never fall"));
}

TEST(SeriesTrend, OneCellOfRainClearsTheRecord) {
    EXPECT_EQ(found({sums(36), depths()}), "rain");
}

TEST(SeriesTrend, OfAMeanYearTheLastMonthIsBeforeTheFirst) {
    const Timeline timeline = make_normals_timeline(autumn());
    SeriesTrend trend(timeline);
    std::vector<double> year = sums(36);
    year.resize(12);
    trend.add(year);
    EXPECT_THAT(trend.adding_up().value_or(""), HasSubstr("once a year only"));
}

TEST(DayTrend, TellsSumsOfTheDayFromRain) {
    DayTrend adding(8);
    DayTrend raining(8);
    for (std::size_t step = 1; step < 8 * 20; ++step) {
        const std::size_t hour = step % 8;
        adding.add(hour, static_cast<double>((step - 1) % 8), static_cast<double>(hour));
        raining.add(hour, static_cast<double>((step - 1) % 3), static_cast<double>(step % 3));
    }
    EXPECT_TRUE(adding.adding_up());
    EXPECT_FALSE(raining.adding_up());
    EXPECT_FALSE(DayTrend(8).adding_up());
}

}  // namespace
}  // namespace eaveshed
