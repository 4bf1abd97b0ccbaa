// method.md 4.6: reference evapotranspiration from temperatures.
#include "eaveshed/demand/evapotranspiration.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace eaveshed {
namespace {

// R4.1: FAO-56 example 8, 3 September at 20 degrees south (memory of the paper; confirmed in public test suites).
TEST(Evapotranspiration, GivesTheRadiationOfExample8) {
    EXPECT_NEAR(extraterrestrial_radiation_mj(-20.0, 246), 32.2, 0.05);
}

// R4.2: FAO-56 example 9, same day and place.
TEST(Evapotranspiration, GivesTheDaylightOfExample9) {
    EXPECT_NEAR(daylight_hours(-20.0, 246), 11.7, 0.05);
}

// R4.4 names examples 17 and 18 of FAO-56; their intermediate values from memory: Bangkok (13 degrees 44 minutes north)
// in April, J 105; Uccle (50 degrees 48 minutes north) on 6 July, J 187. Example 10 too (Rio de Janeiro, 22 degrees 54
// minutes south, J 135, from memory).
TEST(Evapotranspiration, GivesTheRadiationAndDaylightOfTheWorkedExamples) {
    EXPECT_NEAR(extraterrestrial_radiation_mj(13.73, 105), 38.06, 0.005);
    EXPECT_NEAR(daylight_hours(13.73, 105), 12.31, 0.005);
    EXPECT_NEAR(extraterrestrial_radiation_mj(50.80, 187), 41.09, 0.005);
    EXPECT_NEAR(daylight_hours(50.80, 187), 16.1, 0.05);
    EXPECT_NEAR(extraterrestrial_radiation_mj(-22.9, 135), 25.1, 0.05);
    EXPECT_NEAR(daylight_hours(-22.9, 135), 10.9, 0.05);
}

// R4.3: FAO-56 example 20 (printed figure 5.0 from memory; 5.0387 in full).
TEST(Evapotranspiration, GivesTheHargreavesValueOfExample20) {
    EXPECT_NEAR(hargreaves_mm_day(14.8, 26.6, 40.6), 5.0, 0.05);
    EXPECT_NEAR(hargreaves_mm_day(14.8, 26.6, 40.6), 5.0387, 0.00005);
}

// FAO-56 annex 2, table 2.5: int(30.4 M - 15), derived.
TEST(Evapotranspiration, TheMiddleDayOfAMonthIsFoundInWholeNumbers) {
    EXPECT_EQ(middle_day_of_year(1), 15);
    EXPECT_EQ(middle_day_of_year(2), 45);
    EXPECT_EQ(middle_day_of_year(3), 76);
    EXPECT_EQ(middle_day_of_year(5), 137);  // 30.4 x 5 - 15 is whole: no rounding may take a day from it
    EXPECT_EQ(middle_day_of_year(10), 289);
    EXPECT_EQ(middle_day_of_year(12), 349);
}

TEST(Evapotranspiration, IsNeverNegative) {
    EXPECT_EQ(hargreaves_mm_day(-40.0, -20.0, 10.0), 0.0);
    EXPECT_EQ(hargreaves_mm_day(20.0, 15.0, 30.0), 0.0);  // maximum below minimum: no range
    EXPECT_EQ(hargreaves_mm_day(10.0, 20.0, 0.0), 0.0);
    EXPECT_GT(hargreaves_mm_day(10.0, 20.0, 30.0), 0.0);
}

TEST(Evapotranspiration, GrowsWithWarmthRangeAndRadiation) {
    EXPECT_GT(hargreaves_mm_day(12.0, 22.0, 30.0), hargreaves_mm_day(10.0, 20.0, 30.0));
    EXPECT_GT(hargreaves_mm_day(9.0, 21.0, 30.0), hargreaves_mm_day(10.0, 20.0, 30.0));
    EXPECT_DOUBLE_EQ(hargreaves_mm_day(10.0, 20.0, 30.0), 3.0 * hargreaves_mm_day(10.0, 20.0, 10.0));
}

TEST(Evapotranspiration, ThePolarDayAndNightHaveTheirLimits) {
    EXPECT_EQ(daylight_hours(80.0, 172), 24.0);
    EXPECT_EQ(daylight_hours(-80.0, 172), 0.0);
    EXPECT_NEAR(extraterrestrial_radiation_mj(-80.0, 172), 0.0, 1e-12);
    EXPECT_GT(extraterrestrial_radiation_mj(80.0, 172), 40.0);
    for (const double latitude : {-90.0, -66.5, 0.0, 66.5, 90.0}) {
        for (int day = 1; day <= 366; ++day) {
            const double radiation = extraterrestrial_radiation_mj(latitude, day);
            const double hours = daylight_hours(latitude, day);
            ASSERT_TRUE(std::isfinite(radiation) && radiation >= 0.0 && radiation < 60.0);
            ASSERT_TRUE(hours >= 0.0 && hours <= 24.0);
        }
    }
}

TEST(Evapotranspiration, DayAndNightAreEqualAtTheEquator) {
    for (int day = 1; day <= 365; ++day) {
        ASSERT_NEAR(daylight_hours(0.0, day), 12.0, 1e-12);
    }
}

TEST(Evapotranspiration, DaylightNorthAndSouthMakeUpADay) {
    for (int latitude = 0; latitude <= 65; latitude += 5) {
        for (int day = 1; day <= 365; day += 7) {
            ASSERT_NEAR(daylight_hours(latitude, day) + daylight_hours(-latitude, day), 24.0, 1e-11);
        }
    }
}

}  // namespace
}  // namespace eaveshed
