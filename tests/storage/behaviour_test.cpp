// method.md 5.7, 5.10: what a store does over the years.
#include "eaveshed/storage/behaviour.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <vector>

#include "../support/random_numbers.hpp"
#include "eaveshed/core/error.hpp"

namespace eaveshed {
namespace {

using testing::RandomNumbers;

TEST(Behaviour, CountsSeasonsVolumesAndFullWinters) {
    const std::vector<YearOfStore> years{{10.0, 10.0, 1.0, true},
                                         {6.0, 10.0, 2.0, false},
                                         {12.0, 12.0 + 5e-10, 3.0, true},
                                         {12.0, 12.0 + 5e-9, 6.0, false}};
    const Behaviour result = behaviour(years, 0.8);
    EXPECT_DOUBLE_EQ(result.replaced_mean_m3, 10.0);
    EXPECT_EQ(result.replaced_dependable_m3, 6.0);  // four years: rank 0.2 x 5 is the first
    EXPECT_EQ(result.replaced_worst_m3, 6.0);
    EXPECT_EQ(result.seasons_met, 2);
    EXPECT_EQ(result.seasons, 4);
    EXPECT_EQ(result.season_reliability, 0.5);
    EXPECT_NEAR(result.volume_reliability, 40.0 / 44.0, 1e-9);
    EXPECT_EQ(result.full_winters_share, 0.5);
    EXPECT_EQ(result.overflow_mean_m3, 3.0);
}

TEST(Behaviour, WithoutDemandEverySeasonIsMet) {
    const Behaviour result = behaviour(std::vector<YearOfStore>{{0.0, 0.0, 5.0, true}}, 0.8);
    EXPECT_EQ(result.volume_reliability, 1.0);
    EXPECT_EQ(result.season_reliability, 1.0);
    EXPECT_EQ(result.replaced_mean_m3, 0.0);
}

TEST(Behaviour, TheForbearanceVolumeIsTheDependableOneOrTheMean) {
    Behaviour result = behaviour(std::vector<YearOfStore>{{4.0, 9.0, 0.0, false}, {8.0, 9.0, 0.0, false}}, 0.8);
    EXPECT_EQ(result.forbearance_m3(), 4.0);
    result.replaced_dependable_m3.reset();
    EXPECT_EQ(result.forbearance_m3(), 6.0);
}

// R9.2: 5,000 gal over 92 days are 0.002381 L/s (exact conversion).
TEST(Behaviour, AVolumePerSeasonIsAMeanRate) {
    EXPECT_NEAR(mean_rate_lps(5000.0 * 0.003785411784, 92), 0.002381, 5e-7);
}

TEST(Behaviour, OfNoYearsIsABrokenInvariant) {
    EXPECT_THROW((void)behaviour({}, 0.8), Error);
}

TEST(Behaviour, DoesNotDependOnTheOrderOfTheYearsAndKeepsItsBounds) {
    for (std::uint64_t seed = 0; seed < 200; ++seed) {
        RandomNumbers random(seed);
        std::vector<YearOfStore> years(static_cast<std::size_t>(random.whole(1, 40)));
        for (YearOfStore& year : years) {
            year.demand_m3 = random.between(0.0, 30.0);
            year.replaced_m3 = random.chance(0.4) ? year.demand_m3 : random.between(0.0, year.demand_m3);
            year.overflow_m3 = random.between(0.0, 50.0);
            year.filled = random.chance(0.5);
        }
        const Behaviour before = behaviour(years, 0.8);
        std::reverse(years.begin(), years.end());
        const Behaviour after = behaviour(years, 0.8);
        EXPECT_EQ(before.replaced_mean_m3, after.replaced_mean_m3);
        EXPECT_EQ(before.replaced_dependable_m3, after.replaced_dependable_m3);
        EXPECT_EQ(before.replaced_worst_m3, after.replaced_worst_m3);
        EXPECT_EQ(before.season_reliability, after.season_reliability);
        EXPECT_NEAR(before.volume_reliability, after.volume_reliability, 1e-14);
        EXPECT_NEAR(before.overflow_mean_m3, after.overflow_mean_m3, 1e-12);
        EXPECT_LE(before.volume_reliability, 1.0);
        EXPECT_LE(*before.replaced_worst_m3, *before.replaced_dependable_m3);
    }
}

}  // namespace
}  // namespace eaveshed
