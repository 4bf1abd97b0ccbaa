// method.md 5.2, 5.8, 5.9, 5.11: which option, and what limits it.
#include "eaveshed/storage/recommend.hpp"

#include <gtest/gtest.h>

#include <optional>
#include <vector>

#include "eaveshed/core/error.hpp"

namespace eaveshed {
namespace {

OptionResult option(double nominal_m3, int count, std::optional<double> dependable_m3, double mean_m3) {
    OptionResult result{.nominal_m3 = nominal_m3, .count = count, .usable_m3 = nominal_m3, .behaviour = {}};
    result.behaviour.replaced_dependable_m3 = dependable_m3;
    result.behaviour.replaced_mean_m3 = mean_m3;
    return result;
}

TEST(Recommended, TheSmallestOptionWithEnoughOfTheBestDependableVolume) {
    const std::vector<OptionResult> options{option(2, 1, 2.0, 2.0), option(6, 1, 5.9, 6.0), option(10, 1, 9.5, 9.9),
                                            option(20, 1, 10.0, 15.0), option(40, 2, 9.9, 22.0)};
    EXPECT_EQ(recommended_option(options, 0.95), 2U);  // 9.5 is 0.95 of 10, exactly
    EXPECT_EQ(recommended_option(options, 0.96), 3U);
    EXPECT_EQ(recommended_option(options, 0.1), 0U);
    EXPECT_EQ(recommended_option(options, 1.0), 3U);
}

TEST(Recommended, OfEqualVolumesTheOneWithFewerTanks) {
    const std::vector<OptionResult> options{option(20, 1, 8.0, 9.0), option(20, 2, 8.0, 9.0)};
    EXPECT_EQ(recommended_option(options, 0.95), 0U);
}

TEST(Recommended, ByTheMeanWhereNoDependableVolumeIsThere) {
    const std::vector<OptionResult> zero{option(2, 1, 0.0, 2.0), option(6, 1, 0.0, 5.8), option(10, 1, 0.0, 6.0)};
    EXPECT_EQ(recommended_option(zero, 0.95), 1U);
    const std::vector<OptionResult> none{option(2, 1, {}, 2.0), option(6, 1, {}, 5.8), option(10, 1, {}, 6.0)};
    EXPECT_EQ(recommended_option(none, 0.95), 1U);
    // One dependable value is enough to go by.
    const std::vector<OptionResult> one{option(2, 1, 0.0, 2.0), option(6, 1, 0.0, 5.8), option(10, 1, 0.1, 6.0)};
    EXPECT_EQ(recommended_option(one, 0.95), 2U);
}

TEST(Recommended, NoneWhereNothingIsReplaced) {
    EXPECT_FALSE(recommended_option(std::vector<OptionResult>{option(2, 1, 0.0, 0.0), option(6, 1, {}, 0.0)}, 0.95));
    EXPECT_FALSE(recommended_option({}, 0.95));
}

TEST(Recommended, OptionsOutOfOrderAreABrokenInvariant) {
    const std::vector<OptionResult> by_volume{option(6, 1, 1.0, 1.0), option(2, 1, 1.0, 1.0)};
    const std::vector<OptionResult> by_count{option(6, 2, 1.0, 1.0), option(6, 1, 1.0, 1.0)};
    EXPECT_THROW((void)recommended_option(by_volume, 0.95), Error);
    EXPECT_THROW((void)recommended_option(by_count, 0.95), Error);
}

TEST(Limited, ByDemandWhenEnoughSeasonsOrEnoughOfTheVolumeIsMet) {
    const LimitRules rules{.reliability = 0.8, .storage_share = 0.95, .reserve_m3 = 0.0};
    OptionResult result = option(10, 1, 5.0, 6.0);
    result.behaviour.seasons = 30;
    result.behaviour.seasons_met = 24;  // 0.8 x 30 in floating point is 24: counts decide
    result.behaviour.volume_reliability = 0.5;
    EXPECT_EQ(limited_by(result, 50.0, rules), LimitedBy::demand);
    result.behaviour.seasons_met = 23;
    EXPECT_EQ(limited_by(result, 50.0, rules), LimitedBy::tank);
    result.behaviour.volume_reliability = 0.95;
    EXPECT_EQ(limited_by(result, 50.0, rules), LimitedBy::demand);
}

TEST(Limited, ByTheSmallerOfTankAndRoof) {
    OptionResult result = option(10, 1, 5.0, 6.0);
    result.usable_m3 = 9.0;
    result.behaviour.seasons = 30;
    result.behaviour.volume_reliability = 0.5;
    const LimitRules rules{.reliability = 0.8, .storage_share = 0.95, .reserve_m3 = 2.0};
    EXPECT_EQ(limited_by(result, 7.1, rules), LimitedBy::tank);
    EXPECT_EQ(limited_by(result, 7.0, rules), LimitedBy::tank);
    EXPECT_EQ(limited_by(result, 6.9, rules), LimitedBy::roof);
}

TEST(Tank, UsableVolumeIsThatAboveTheOutlet) {
    EXPECT_DOUBLE_EQ(usable_m3(20.0, 2.5, 0.1), 19.2);
    EXPECT_EQ(usable_m3(20.0, 2.5, 0.0), 20.0);
    EXPECT_LE(usable_m3(20.0, 0.1, 0.1), 0.0);
}

TEST(Tank, NeedsAPermitCheckOnlyOverALimit) {
    const PermitLimits limits{.volume_m3 = 18.93, .ratio = 2.0};
    EXPECT_FALSE(needs_permit_check(18.93, 3.0, 3.0, limits));
    EXPECT_TRUE(needs_permit_check(18.94, 3.0, 3.0, limits));
    EXPECT_FALSE(needs_permit_check(5.0, 1.5, 3.0, limits));
    EXPECT_TRUE(needs_permit_check(5.0, 1.5, 3.01, limits));
}

}  // namespace
}  // namespace eaveshed
