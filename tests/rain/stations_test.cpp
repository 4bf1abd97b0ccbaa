#include "eaveshed/rain/stations.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace eaveshed {
namespace {

using ::testing::ElementsAre;
using ::testing::IsNan;

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

const StationSeries kThree{4, {{1.0, kNan, kNan, kNan}, {10.0, 20.0, kNan, kNan}, {100.0, 200.0, 300.0, kNan}}};

TEST(NearestGauge, TellsEachDayThatItHasAndTheNextOneTheOthers) {
    const std::vector<StationUse> uses{{0, 100.0, 1.0}, {1, 200.0, 1.0}, {2, 300.0, 1.0}};
    EXPECT_THAT(nearest_values(kThree, uses), ElementsAre(1.0, 20.0, 300.0, IsNan()));
    const std::vector<StationUse> turned{{2, 100.0, 1.0}, {0, 200.0, 1.0}};
    EXPECT_THAT(nearest_values(kThree, turned), ElementsAre(100.0, 200.0, 300.0, IsNan()));
}

// Days are not mixed: a day is dry when the nearest gauge is, whatever the others have.
TEST(NearestGauge, IsNotMixedWithOthers) {
    const StationSeries series{2, {{0.0, kNan}, {5.0, 7.0}}};
    EXPECT_THAT(nearest_values(series, std::vector<StationUse>{{0, 100.0, 1.0}, {1, 101.0, 1.0}}),
                ElementsAre(0.0, 7.0));
}

TEST(NearestGauge, IsTakenTimesItsOwnFactor) {
    EXPECT_THAT(nearest_values(kThree, std::vector<StationUse>{{0, 1.0, 2.0}, {1, 2.0, 0.5}}),
                ElementsAre(2.0, 10.0, IsNan(), IsNan()));
}

// By hand: distances 100, 200 and 400 m have weights as 16 : 4 : 1. Month 1: (16 x 1 + 4 x 10 + 100) / 21; month 2:
// (4 x 20 + 200) / 5; month 3: 300.
TEST(WeightedGauges, AreTheMeanOfThoseWithAValueByOneOverDistanceSquared) {
    const std::vector<StationUse> uses{{0, 100.0, 1.0}, {1, 200.0, 1.0}, {2, 400.0, 1.0}};
    const std::vector<double> values = weighted_values(kThree, uses);
    EXPECT_NEAR(values[0], 156.0 / 21.0, 1e-12);
    EXPECT_NEAR(values[1], 56.0, 1e-12);
    EXPECT_NEAR(values[2], 300.0, 1e-12);
    EXPECT_TRUE(std::isnan(values[3]));
}

// By hand: with factors 2, 0.5, 1 month 1 is (16 x 2 + 4 x 5 + 100) / 21.
TEST(WeightedGauges, TakeEachTimesItsFactor) {
    const std::vector<StationUse> uses{{0, 100.0, 2.0}, {1, 200.0, 0.5}, {2, 400.0, 1.0}};
    EXPECT_NEAR(weighted_values(kThree, uses)[0], 152.0 / 21.0, 1e-12);
}

// A gauge on the roof weighs as one that is a metre away: 1 / 1 against 1 / 100.
TEST(WeightedGauges, AreNoNearerThanAMetre) {
    const StationSeries series{1, {{1.0}, {2.0}}};
    const double expected = (1.0 + 2.0 / 100.0) / (1.0 + 1.0 / 100.0);
    EXPECT_NEAR(weighted_values(series, std::vector<StationUse>{{0, 0.0, 1.0}, {1, 10.0, 1.0}})[0], expected, 1e-12);
}

TEST(WeightedGauges, OfASingleOneAreItsOwnValuesToTheLastBit) {
    const StationSeries series{2, {{0.1, kNan}}};
    EXPECT_THAT(weighted_values(series, std::vector<StationUse>{{0, 1234.5, 1.0}}), ElementsAre(0.1, IsNan()));
    EXPECT_THAT(weighted_values(series, std::vector<StationUse>{StationUse{}}), ElementsAre(0.1, IsNan()));
}

TEST(RainOfGauges, OfDaysIsTheNearestAndOfMonthsTheMean) {
    const std::vector<StationUse> uses{{0, 100.0, 1.0}, {1, 200.0, 1.0}};
    EXPECT_EQ(rain_of_stations(RainKind::daily, kThree, uses)[0], 1.0);
    EXPECT_NEAR(rain_of_stations(RainKind::monthly, kThree, uses)[0], (4.0 + 10.0) / 5.0, 1e-12);
    EXPECT_NEAR(rain_of_stations(RainKind::monthly_normals, kThree, uses)[0], (4.0 + 10.0) / 5.0, 1e-12);
}

TEST(FirstValue, IsThatOfTheNearestThatHasOne) {
    const std::vector<StationUse> uses{{7, 100.0, 1.0}, {3, 200.0, 1.0}};
    const auto odd = [](std::uint32_t station) { return station < 5 ? std::optional(station) : std::nullopt; };
    EXPECT_EQ(first_value(std::span<const StationUse>(uses), odd), 3U);
    EXPECT_FALSE(first_value(std::span<const StationUse>(), odd));
}

}  // namespace
}  // namespace eaveshed
