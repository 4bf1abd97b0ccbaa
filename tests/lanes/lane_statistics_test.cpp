#include "eaveshed/lanes/lane_statistics.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <vector>

#include "eaveshed/core/error.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

using testing::RandomNumbers;

TEST(LaneStatistics, AreThoseThoseOfEachLaneAlone) {
    RandomNumbers random(5);
    for (std::size_t count = 1; count <= 70; ++count) {
        std::vector<Lanes> sums(count);
        for (Lanes& year : sums) {
            for (double& value : year) {
                value = random.chance(0.2) ? 7.0 : random.between(0.0, 100.0);  // some years alike
            }
        }
        const double reliability = random.between(0.0, 1.0);
        for (const Vectors vectors : vectors_here()) {
            std::vector<Lanes> sorted = sums;
            const LaneStatistics together = lane_statistics(sorted, reliability, vectors);
            for (std::size_t lane = 0; lane < kLanes; ++lane) {
                const YearStatistics alone = year_statistics(lane_of(sums, lane), reliability);
                EXPECT_EQ(together.of(lane).mean, alone.mean);
                EXPECT_EQ(together.of(lane).median, alone.median);
                EXPECT_EQ(together.of(lane).dependable, alone.dependable);
                EXPECT_EQ(together.of(lane).worst, alone.worst);
                EXPECT_TRUE(std::ranges::is_sorted(lane_of(sorted, lane)));
            }
        }
    }
    EXPECT_THROW((void)lane_statistics({}, 0.8), Error);
}

}  // namespace
}  // namespace eaveshed
