#include "eaveshed/core/lanes.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
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

TEST(Wide, ReckonsEachLaneAsADouble) {
    testing::RandomNumbers random(3);
    for (int round = 0; round < 200; ++round) {
        Lanes x;
        Lanes y;
        for (std::size_t k = 0; k < kLanes; ++k) {
            x[k] = random.between(-5.0, 5.0);
            y[k] = random.chance(0.3) ? x[k] : random.between(-5.0, 5.0);
        }
        const Wide a = Wide::of(x);
        const Wide b = Wide::of(y);
        Wide sum = a;
        sum += b;
        for (std::size_t k = 0; k < kLanes; ++k) {
            EXPECT_EQ((a + b).lanes()[k], x[k] + y[k]);
            EXPECT_EQ(sum.lanes()[k], x[k] + y[k]);
            EXPECT_EQ((a - b).lanes()[k], x[k] - y[k]);
            EXPECT_EQ((a * b).lanes()[k], x[k] * y[k]);
            EXPECT_EQ((a / b).lanes()[k], x[k] / y[k]);
            EXPECT_EQ(least(a, b).lanes()[k], std::min(x[k], y[k]));
            EXPECT_EQ(most(a, b).lanes()[k], std::max(x[k], y[k]));
            EXPECT_EQ(where_reached(a, b, Wide::all(1.0), Wide::all(-1.0)).lanes()[k], x[k] >= y[k] ? 1.0 : -1.0);
        }
    }
}

// Of equal ones the first, as std::min and std::max take it: the sign of a zero tells.
TEST(Wide, OfEqualOnesTakesTheFirst) {
    const Wide plus = Wide::all(0.0);
    const Wide minus = Wide::all(-0.0);
    EXPECT_TRUE(std::signbit(least(minus, plus).lanes()[0]));
    EXPECT_FALSE(std::signbit(least(plus, minus).lanes()[0]));
    EXPECT_TRUE(std::signbit(most(minus, plus).lanes()[0]));
    EXPECT_FALSE(std::signbit(most(plus, minus).lanes()[0]));
}

}  // namespace
}  // namespace eaveshed
