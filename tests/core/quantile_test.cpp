// method.md 0.7 to 0.9: quantiles and ranks.
#include "eaveshed/core/quantile.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <vector>

namespace eaveshed {
namespace {

// R3.9: hydrology lab sheet with solution, nineteen annual values and their Weibull quantiles.
TEST(Quantile, GivesTheLabSheetsWeibullQuantiles) {
    std::vector<double> values{10.2, 26.0, 31.0, 11.5, 50.0, 3.7, 6.8,  3.2,  3.1, 28.7,
                               6.3,  10.4, 51.2, 4.7,  14.9, 3.6, 20.2, 11.3, 9.4};
    std::sort(values.begin(), values.end());
    EXPECT_NEAR(weibull_quantile(values, 0.10), 3.2, 1e-9);
    EXPECT_NEAR(weibull_quantile(values, 0.20), 3.7, 1e-9);
    EXPECT_NEAR(weibull_quantile(values, 0.50), 10.4, 1e-9);
    EXPECT_NEAR(weibull_quantile(values, 0.95), 51.2, 1e-9);
}

// R3.10: test values of a widely used numerical library, type 6.
TEST(Quantile, GivesTheLibrarysTypeSixValue) {
    const std::vector<double> values{15, 20, 35, 40, 50};
    EXPECT_DOUBLE_EQ(weibull_quantile(values, 0.40), 26.0);
}

TEST(Quantile, IsClampedToTheEnds) {
    const std::vector<double> values{1.0, 2.0};
    EXPECT_EQ(weibull_quantile(values, 0.0), 1.0);
    EXPECT_EQ(weibull_quantile(values, 1.0), 2.0);
    EXPECT_EQ(weibull_quantile(std::vector<double>{7.0}, 0.2), 7.0);
}

TEST(Quantile, NearestRankIsFoundInWholeNumbers) {
    EXPECT_EQ(nearest_rank(0.10, 10), 0U);  // in floating point 0.1 x 10 could round up to the second
    EXPECT_EQ(nearest_rank(0.10, 11), 1U);
    EXPECT_EQ(nearest_rank(0.50, 4), 1U);
    EXPECT_EQ(nearest_rank(0.50, 5), 2U);
    EXPECT_EQ(nearest_rank(0.30, 10), 2U);
    EXPECT_EQ(nearest_rank(1.0, 3), 2U);
    EXPECT_EQ(nearest_rank(0.0, 3), 0U);
}

TEST(Quantile, MedianOfAnEvenNumberIsTheMeanOfTheMiddleTwo) {
    EXPECT_EQ(median(std::vector<double>{1.0, 2.0, 4.0, 8.0}), 3.0);
    EXPECT_EQ(median(std::vector<double>{1.0, 2.0, 4.0}), 2.0);
}

}  // namespace
}  // namespace eaveshed
