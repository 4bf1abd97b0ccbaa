#include "eaveshed/core/lanes.hpp"

#include <gtest/gtest.h>

#include <vector>

#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

TEST(Lanes, ASeriesComesBackOutOfItsLaneAndTheOthersStay) {
    const std::vector<double> series{1.5, -2.0, 0.25};
    std::vector<Lanes> lanes(series.size());
    put_lane(series, 2, lanes);
    EXPECT_EQ(lane_of(lanes, 2), series);
    for (const std::size_t lane : {std::size_t{0}, std::size_t{1}, kLanes - 1}) {
        EXPECT_EQ(lane_of(lanes, lane), std::vector<double>(series.size(), 0.0));
    }
}

TEST(Lanes, ComeApartIntoSeries) {
    testing::RandomNumbers random(5);
    for (const std::size_t steps : {0U, 1U, 31U, 32U, 33U, 100U}) {
        std::vector<Lanes> lanes(steps);
        for (Lanes& step : lanes) {
            for (double& value : step) {
                value = random.between(-5.0, 5.0);
            }
        }
        for (const std::size_t count : {std::size_t{0}, std::size_t{3}, kLanes}) {
            const auto series = series_of_lanes(lanes, count);
            ASSERT_EQ(series.size(), count);
            for (std::size_t lane = 0; lane < count; ++lane) {
                EXPECT_EQ(series[lane], lane_of(lanes, lane));
            }
        }
    }
}

}  // namespace
}  // namespace eaveshed
