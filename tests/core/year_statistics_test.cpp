// method.md 0.10: statistics over years.
#include "eaveshed/core/year_statistics.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <utility>
#include <vector>

#include "../support/random_numbers.hpp"
#include "eaveshed/core/error.hpp"

namespace eaveshed {
namespace {

using testing::RandomNumbers;

// R3.9: hydrology lab sheet with solution (read): the value reached in 80 % of nineteen years is the Weibull quantile
// at 0.20, 3.7; the plotting position of spreadsheets (type 7) would give 4.3.
TEST(YearStatistics, TheDependableValueIsTheLabSheetsQuantile) {
    const std::vector<double> values{10.2, 26.0, 31.0, 11.5, 50.0, 3.7, 6.8,  3.2,  3.1, 28.7,
                                     6.3,  10.4, 51.2, 4.7,  14.9, 3.6, 20.2, 11.3, 9.4};
    const YearStatistics statistics = year_statistics(values, 0.80);
    EXPECT_NEAR(statistics.dependable, 3.7, 1e-9);
    EXPECT_NEAR(statistics.median, 10.4, 1e-9);
    EXPECT_EQ(statistics.worst, 3.1);
    EXPECT_NEAR(statistics.mean, 306.2 / 19.0, 1e-12);  // derived
    EXPECT_NEAR(year_statistics(values, 0.90).dependable, 3.2, 1e-9);
}

TEST(YearStatistics, WithFewYearsTheDependableValueIsTheWorst) {
    const std::vector<double> values{7.0, 3.0, 5.0};
    const YearStatistics statistics = year_statistics(values, 0.80);
    EXPECT_EQ(statistics.dependable, 3.0);
    EXPECT_EQ(statistics.worst, 3.0);
    EXPECT_EQ(statistics.median, 5.0);
    EXPECT_EQ(year_statistics(std::vector<double>{4.0}, 0.8).mean, 4.0);
}

TEST(YearStatistics, OfNoYearsAreABrokenInvariant) {
    EXPECT_THROW((void)year_statistics({}, 0.8), Error);
}

TEST(YearStatistics, DoNotDependOnTheOrderOfTheYears) {
    for (std::uint64_t seed = 0; seed < 300; ++seed) {
        RandomNumbers random(seed);
        std::vector<double> values(static_cast<std::size_t>(random.whole(1, 40)));
        for (double& value : values) {
            value = random.between(0.0, 100.0);
        }
        const double reliability = random.between(0.0, 1.0);
        const YearStatistics before = year_statistics(values, reliability);
        for (std::size_t i = values.size(); i > 1; --i) {
            std::swap(values[i - 1], values[static_cast<std::size_t>(random.whole(0, static_cast<int>(i) - 1))]);
        }
        const YearStatistics after = year_statistics(values, reliability);
        EXPECT_EQ(before.mean, after.mean);
        EXPECT_EQ(before.median, after.median);
        EXPECT_EQ(before.dependable, after.dependable);
        EXPECT_EQ(before.worst, after.worst);
        EXPECT_LE(after.worst, after.dependable);
        EXPECT_LE(after.worst, after.mean + 1e-9);
    }
}

TEST(YearStatistics, MoreReliabilityNeverDependsOnMore) {
    RandomNumbers random(5);
    std::vector<double> values(23);
    for (double& value : values) {
        value = random.between(0.0, 100.0);
    }
    double last = year_statistics(values, 0.0).dependable;
    for (int step = 1; step <= 100; ++step) {
        const double now = year_statistics(values, step / 100.0).dependable;
        EXPECT_LE(now, last + 1e-12);
        last = now;
    }
}

}  // namespace
}  // namespace eaveshed
