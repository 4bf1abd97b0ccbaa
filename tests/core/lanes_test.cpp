#include "eaveshed/core/lanes.hpp"

#include <gtest/gtest.h>

#include <utility>

namespace eaveshed {
namespace {

TEST(Lanes, ASeriesComesBackOutOfItsLaneAndTheOthersAreZero) {
    const std::vector<double> series{1.5, -2.0, 0.25};
    const std::vector<Lanes> lanes = in_first_lane(series);
    EXPECT_EQ(lane_of(lanes, 0), series);
    for (std::size_t lane = 1; lane < kLanes; ++lane) {
        EXPECT_EQ(lane_of(lanes, lane), std::vector<double>(series.size(), 0.0));
    }
    EXPECT_TRUE(in_first_lane({}).empty());
}

TEST(Lanes, ALaneIsTakenOfWhateverHoldsLanes) {
    std::vector<std::pair<int, Lanes>> items(2);
    items[0].second[kLanes - 1] = 3.0;
    items[1].second[kLanes - 1] = 4.0;
    const auto lanes_of = [](const std::pair<int, Lanes>& item) -> const Lanes& { return item.second; };
    EXPECT_EQ(lane_of(items, kLanes - 1, lanes_of), (std::vector<double>{3.0, 4.0}));
}

}  // namespace
}  // namespace eaveshed
