// method.md 6.15 to 6.17: how sure gravity is.
#include "eaveshed/hydraulics/certainty.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <utility>

#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

// Abramowitz and Stegun 1964, Handbook of Mathematical Functions, table 26.1, 15 decimals (from memory).
TEST(NormalProbability, AgreesWithThePublishedTable) {
    for (const auto& [z, p] : {std::pair{0.0, 0.5},
                               {0.5, 0.691462461274013},
                               {1.0, 0.841344746068543},
                               {1.5, 0.933192798731142},
                               {2.0, 0.977249868051821},
                               {2.5, 0.993790334674224},
                               {3.0, 0.998650101968370}}) {
        EXPECT_NEAR(normal_probability(z), p, 5.1e-16 + 5e-16) << z;
        EXPECT_NEAR(normal_probability(-z), 1.0 - p, 1e-15) << z;
    }
    EXPECT_NEAR(normal_probability(1.959963984540054), 0.975, 1e-15);  // two-sided 95 %: the quantile in every table
    EXPECT_NEAR(normal_probability(kSureSds), 0.9, 1e-15);
    EXPECT_NEAR(normal_probability(-10.0) / 7.619853024160527e-24, 1.0, 1e-12);  // far out: no cancellation
}

TEST(NormalProbability, RisesAndIsSymmetric) {
    double before = 0.0;
    for (double z = -8.0; z <= 8.0; z += 0.01) {
        const double p = normal_probability(z);
        EXPECT_GE(p, before);
        EXPECT_NEAR(p + normal_probability(-z), 1.0, 2e-16);
        before = p;
    }
}

TEST(ProbabilityNotNegative, KnowsWhatIsCertain) {
    EXPECT_EQ(probability_not_negative(1e-9, 0.0), 1.0);
    EXPECT_EQ(probability_not_negative(0.0, 0.0), 0.5);
    EXPECT_EQ(probability_not_negative(-1e-9, 0.0), 0.0);
    EXPECT_EQ(probability_not_negative(0.0, 2.0), 0.5);
    EXPECT_NEAR(probability_not_negative(2.0, 2.0), 0.841344746068543, 1e-15);
}

// Derived: the variance of a uniform spread of width w is w^2 / 12.
TEST(ElevationSd, AddsTheRoundingOfWholeNumbersToTheRastersError) {
    EXPECT_EQ(elevation_sd_m(0.15, 0.0), 0.15);
    EXPECT_NEAR(elevation_sd_m(0.0, 1.0), 1.0 / std::sqrt(12.0), 1e-15);
    EXPECT_NEAR(elevation_sd_m(0.15, 1.0), std::sqrt(0.0225 + 1.0 / 12.0), 1e-15);
}

TEST(PadCertainty, AddsVariances) {
    const PadCertainty level = pad_certainty(0.15, 0.0, 1.0, 0.6);
    EXPECT_NEAR(level.fill_sd_m, std::sqrt(2.0 * 0.0225 + 0.36), 1e-12);
    EXPECT_NEAR(level.feed_sd_kpa, 9.80665 * std::sqrt(2.0 * 0.0225), 1e-12);
    const PadCertainty steep = pad_certainty(0.15, 0.12, 10.0, 0.0);
    EXPECT_NEAR(steep.fill_sd_m, std::sqrt(2.0 * 0.0225 + 1.44 / 12.0), 1e-12);
    EXPECT_NEAR(steep.feed_sd_kpa, 9.80665 * steep.fill_sd_m, 1e-12);
}

TEST(GravityProbability, IsTheLeastThatTwoProbabilitiesLeave) {
    EXPECT_EQ(gravity_probability(1.0, 1.0), 1.0);
    EXPECT_NEAR(gravity_probability(0.95, 0.95), 0.9, 1e-15);
    EXPECT_EQ(gravity_probability(0.5, 0.4), 0.0);
    testing::RandomNumbers random(1);
    for (int i = 0; i < 1000; ++i) {
        const double fill = random.between(0.0, 1.0);
        const double feed = random.between(0.0, 1.0);
        EXPECT_LE(gravity_probability(fill, feed), std::min(fill, feed));
        EXPECT_EQ(gravity_probability(fill, feed), gravity_probability(feed, fill));
    }
}

TEST(GravityCheck, SaysYesNoOrThatItCannotTell) {
    EXPECT_EQ(gravity_check(1.0, 0.91), GravityCheck::yes);
    EXPECT_EQ(gravity_check(0.95, 0.9), GravityCheck::cannot_tell);
    EXPECT_EQ(gravity_check(0.99, 0.1), GravityCheck::no);
    EXPECT_EQ(gravity_check(0.05, 0.99), GravityCheck::no);
    EXPECT_EQ(gravity_check(0.99, 0.11), GravityCheck::cannot_tell);
}

}  // namespace
}  // namespace eaveshed
