// method.md 5.1, 5.2, 5.8, 5.9, 5.11: which option, and what limits it.
#include "eaveshed/storage/recommend.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <optional>
#include <vector>

#include "eaveshed/core/error.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

OptionResult option(double nominal_m3, int count, std::optional<double> dependable_m3, double mean_m3) {
    OptionResult result{.nominal_m3 = nominal_m3, .count = count, .usable_m3 = nominal_m3, .behaviour = {}};
    result.behaviour.replaced_dependable_m3 = dependable_m3;
    result.behaviour.replaced_mean_m3 = mean_m3;
    return result;
}

using testing::RandomNumbers;

constexpr RecommendRules kAnyGain{.storage_share = 0.95, .marginal_yield = 0.0};
constexpr RecommendRules kShipped{.storage_share = 0.95, .marginal_yield = 0.25};

// The rule, sentence by sentence and without anything shared.
std::optional<std::size_t> plainly(const std::vector<OptionResult>& options, const RecommendRules& rules) {
    bool any_dependable = false;
    for (const OptionResult& option : options) {
        any_dependable = any_dependable || option.behaviour.replaced_dependable_m3.value_or(0.0) != 0.0;
    }
    std::vector<double> replaced;
    for (const OptionResult& option : options) {
        replaced.push_back(any_dependable ? option.behaviour.replaced_dependable_m3.value_or(0.0)
                                          : option.behaviour.replaced_mean_m3);
    }
    std::vector<bool> worth(options.size(), false);
    std::size_t last = 0;
    for (std::size_t i = 0; i < options.size(); ++i) {
        const bool exceeds = replaced[i] > replaced[last] + 1e-9;
        double difference = options[i].usable_m3 - options[last].usable_m3;
        difference = difference < 0.0 ? 0.0 : difference;
        const bool by_enough = replaced[i] - replaced[last] >= rules.marginal_yield * difference - 1e-9;
        if (i == 0 || (exceeds && by_enough)) {
            worth[i] = true;
            last = i;
        }
    }
    double best = 0.0;
    for (std::size_t i = 0; i < options.size(); ++i) {
        best = worth[i] && replaced[i] > best ? replaced[i] : best;
    }
    for (std::size_t i = 0; i < options.size() && best > 0.0; ++i) {
        if (worth[i] && replaced[i] >= rules.storage_share * best) {
            return i;
        }
    }
    return std::nullopt;
}

// What stood before options were asked whether they are worth their size.
std::optional<std::size_t> by_share_alone(const std::vector<OptionResult>& options, double share) {
    double best = 0.0;
    for (const OptionResult& option : options) {
        best = std::max(best, option.behaviour.replaced_dependable_m3.value_or(0.0));
    }
    for (std::size_t i = 0; i < options.size() && best > 0.0; ++i) {
        if (options[i].behaviour.replaced_dependable_m3.value_or(0.0) >= share * best) {
            return i;
        }
    }
    return std::nullopt;
}

std::vector<OptionResult> random_options(RandomNumbers& random) {
    std::vector<OptionResult> options;
    double nominal = 0.0;
    const bool known = random.chance(0.8);
    for (int i = random.whole(1, 9); i > 0; --i) {
        nominal += random.whole(0, 8);
        const double volume = random.chance(0.2) ? 0.0 : random.whole(0, 12) * 0.5;
        const int count =
            options.empty() || options.back().nominal_m3 < nominal ? random.whole(1, 3) : options.back().count + 1;
        options.push_back(option(nominal, count, known ? std::optional(volume) : std::nullopt, volume + 1.0));
        options.back().usable_m3 = nominal * random.between(0.8, 1.0);  // a flat tank loses more to its outlet
    }
    return options;
}

// Each further m3 of storage replaces less than the one before, as a store on a record does.
std::vector<OptionResult> bending_options(RandomNumbers& random) {
    std::vector<OptionResult> options;
    double nominal = 0.0;
    double volume = 0.0;
    double yield = 1.0;
    for (int i = 0; i < 8; ++i) {
        const double step = random.between(1.0, 20.0);
        nominal += step;
        volume += yield * step;
        yield *= random.between(0.3, 0.99);
        options.push_back(option(nominal, 1, volume, volume));
    }
    return options;
}

// 2 m3 replaces 2. 6: 3.5 more for 4 m3 more. 10: 3 more for 4 more. 20: 2 more for 10 more is too little. 40: 6 more
// than the 10 m3 option for 30 m3 more is too little as well, though it is much more than 20 replaces.
TEST(WorthItsSize, EachOptionIsHeldAgainstTheLastOneThatIsWorthIt) {
    const std::vector<OptionResult> options{option(2, 1, 2.0, 2.0), option(6, 1, 5.5, 6.0), option(10, 1, 8.5, 9.9),
                                            option(20, 1, 10.5, 15.0), option(40, 2, 14.5, 22.0)};
    WorthTheirSize worth = worth_their_size(options, 0.25);
    EXPECT_EQ(worth.options, (std::vector<std::size_t>{0, 1, 2}));
    EXPECT_EQ(worth.best_m3, 8.5);
    EXPECT_TRUE(worth.dependable);
    EXPECT_EQ(recommended_option(options, kShipped), 2U);
    // At a fifth both are: 20 gives just 2 for 10, and 40 then 4 for 20.
    worth = worth_their_size(options, 0.2);
    EXPECT_EQ(worth.options, (std::vector<std::size_t>{0, 1, 2, 3, 4}));
    EXPECT_EQ(recommended_option(options, {.storage_share = 0.95, .marginal_yield = 0.2}), 4U);
    EXPECT_EQ(recommended_option(options, {.storage_share = 0.7, .marginal_yield = 0.2}), 3U);
}

TEST(WorthItsSize, AnOptionThatReplacesNoMoreIsNot) {
    const std::vector<OptionResult> same{option(20, 1, 8.0, 9.0), option(20, 2, 8.0, 9.0), option(30, 2, 7.0, 9.0)};
    EXPECT_EQ(worth_their_size(same, 0.0).options, std::vector<std::size_t>{0});
    // Nothing larger to pay for, but more by a rounding error only.
    const std::vector<OptionResult> rounded{option(20, 1, 8.0, 9.0), option(20, 2, 8.0 + 1e-10, 9.0)};
    EXPECT_EQ(worth_their_size(rounded, 0.25).options, std::vector<std::size_t>{0});
}

TEST(WorthItsSize, OfALargerOptionThatHoldsNoMoreAnyGainIsEnough) {
    std::vector<OptionResult> options{option(20, 1, 8.0, 9.0), option(21, 2, 8.01, 9.0)};
    options[1].usable_m3 = 19.0;  // flat tanks, more of them below the outlet
    EXPECT_EQ(worth_their_size(options, 1.0).options, (std::vector<std::size_t>{0, 1}));
}

TEST(Recommended, OfTheOptionsWorthTheirSizeTheSmallestWithEnoughOfTheBest) {
    const std::vector<OptionResult> options{option(2, 1, 2.0, 2.0), option(6, 1, 5.9, 6.0), option(10, 1, 9.5, 9.9),
                                            option(20, 1, 10.0, 15.0), option(40, 2, 9.9, 22.0)};
    const auto at_share = [&](double share) {
        return recommended_option(options, {.storage_share = share, .marginal_yield = 0.0});
    };
    EXPECT_EQ(at_share(0.95), 2U);  // 9.5 is 0.95 of 10, exactly
    EXPECT_EQ(at_share(0.96), 3U);
    EXPECT_EQ(at_share(0.1), 0U);
    EXPECT_EQ(at_share(1.0), 3U);
    // With a price on size the 10 m3 option is the best there is.
    EXPECT_EQ(recommended_option(options, {.storage_share = 1.0, .marginal_yield = 0.25}), 2U);
}

TEST(Recommended, OfEqualVolumesTheOneWithFewerTanks) {
    const std::vector<OptionResult> options{option(20, 1, 8.0, 9.0), option(20, 2, 8.0, 9.0)};
    EXPECT_EQ(recommended_option(options, kShipped), 0U);
}

TEST(Recommended, ByTheMeanWhereNoDependableVolumeIsThere) {
    const std::vector<OptionResult> zero{option(2, 1, 0.0, 2.0), option(6, 1, 0.0, 5.8), option(10, 1, 0.0, 6.0)};
    EXPECT_EQ(recommended_option(zero, kAnyGain), 1U);
    EXPECT_FALSE(worth_their_size(zero, 0.0).dependable);
    const std::vector<OptionResult> none{option(2, 1, {}, 2.0), option(6, 1, {}, 5.8), option(10, 1, {}, 6.0)};
    EXPECT_EQ(recommended_option(none, kAnyGain), 1U);
    EXPECT_EQ(recommended_option(none, {.storage_share = 1.0, .marginal_yield = 0.25}), 1U);  // 0.2 more for 4 more
    // One dependable value is enough to go by.
    const std::vector<OptionResult> one{option(2, 1, 0.0, 2.0), option(6, 1, 0.0, 5.8), option(10, 1, 0.1, 6.0)};
    EXPECT_EQ(recommended_option(one, kAnyGain), 2U);
}

TEST(Recommended, NoneWhereNothingIsReplaced) {
    EXPECT_FALSE(
        recommended_option(std::vector<OptionResult>{option(2, 1, 0.0, 0.0), option(6, 1, {}, 0.0)}, kShipped));
    EXPECT_FALSE(recommended_option({}, kShipped));
}

// 0.1 m3 in dry years is no reason for 8 m3 of tank, and the smallest replaces nothing in them.
TEST(Recommended, NoneWhereWhatReplacesAnythingIsNotWorthItsSize) {
    const std::vector<OptionResult> options{option(2, 1, 0.0, 2.0), option(6, 1, 0.0, 5.8), option(10, 1, 0.1, 6.0)};
    EXPECT_FALSE(recommended_option(options, kShipped));
}

TEST(Recommended, IsWhatThePageSaysOnRandomCatalogues) {
    RandomNumbers random(11);
    int with_any = 0;
    int smaller = 0;
    for (int i = 0; i < 20000; ++i) {
        const auto options = random_options(random);
        const RecommendRules rules{.storage_share = random.whole(1, 20) / 20.0,
                                   .marginal_yield = random.whole(0, 8) / 8.0};
        const auto found = recommended_option(options, rules);
        ASSERT_EQ(found, plainly(options, rules)) << i;
        with_any += found ? 1 : 0;
        smaller += found < recommended_option(options, {rules.storage_share, 0.0}) ? 1 : 0;
    }
    EXPECT_GT(with_any, 10000);
    EXPECT_GT(smaller, 1000);
}

TEST(Recommended, WithoutAPriceOnSizeIsTheShareOfTheBestAlone) {
    RandomNumbers random(12);
    for (int i = 0; i < 5000; ++i) {
        auto options = random_options(random);
        for (OptionResult& one : options) {
            one.behaviour.replaced_dependable_m3 = one.behaviour.replaced_dependable_m3.value_or(1.0);
            one.behaviour.replaced_mean_m3 = 0.0;
        }
        ASSERT_EQ(recommended_option(options, kAnyGain), by_share_alone(options, 0.95)) << i;
    }
}

TEST(Recommended, AHigherPriceOnSizeNeverRecommendsMore) {
    RandomNumbers random(13);
    for (int i = 0; i < 2000; ++i) {
        const auto options = bending_options(random);
        auto last = recommended_option(options, kAnyGain);
        for (double yield = 0.0; yield <= 1.0; yield += 0.05) {
            const auto now = recommended_option(options, {.storage_share = 0.95, .marginal_yield = yield});
            ASSERT_LE(now, last) << i << ' ' << yield;
            last = now;
        }
    }
}

TEST(Recommended, OptionsOutOfOrderAreABrokenInvariant) {
    const std::vector<OptionResult> by_volume{option(6, 1, 1.0, 1.0), option(2, 1, 1.0, 1.0)};
    const std::vector<OptionResult> by_count{option(6, 2, 1.0, 1.0), option(6, 1, 1.0, 1.0)};
    EXPECT_THROW((void)recommended_option(by_volume, kShipped), Error);
    EXPECT_THROW((void)recommended_option(by_count, kShipped), Error);
}

TEST(Order, TheLastBitsOfAVolumeDoNotCount) {
    // 18.9 x 3 is a little less than 56.7 in floating point; as many tanks of it stand after one of 56.7.
    EXPECT_EQ(size_key(18.9 * 3.0, 1), size_key(56.7, 1));
    EXPECT_LT(size_key(56.7, 1), size_key(18.9 * 3.0, 3));
    EXPECT_LT(size_key(56.699998, 3), size_key(56.7, 1));
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
