#include "eaveshed/core/season.hpp"

#include <gtest/gtest.h>

#include <vector>

#include "eaveshed/core/error.hpp"

namespace eaveshed {
namespace {

MonthSet months(const std::vector<int>& list) {
    return MonthSet(list);
}

TEST(Season, ASetOfMonthsKnowsNoOrder) {
    EXPECT_EQ(months({8, 9, 10}), months({10, 8, 9, 8}));
    EXPECT_EQ(months({8, 9, 10}).count(), 3);
    EXPECT_TRUE(months({12}).has(12));
    EXPECT_FALSE(months({12}).has(1));
    EXPECT_TRUE(MonthSet().empty());
    EXPECT_FALSE(months({1}).empty());
}

TEST(Season, MonthsOutsideTheYearAreABrokenInvariant) {
    EXPECT_THROW(months({0}), Error);
    EXPECT_THROW(months({13}), Error);
}

TEST(Season, DaysAreThoseOfAMeanYear) {
    EXPECT_EQ(months({8, 9, 10}).mean_year_days(), 92);
    EXPECT_EQ(months({2}).mean_year_days(), 28);
    EXPECT_EQ(months({1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12}).mean_year_days(), 365);
}

TEST(Season, TheLastMonthOfARunIsTheOneWithoutASuccessor) {
    EXPECT_EQ(last_of_run(months({9, 10, 8})), 10);
    EXPECT_EQ(last_of_run(months({12, 1, 2})), 2);
    EXPECT_EQ(last_of_run(months({12})), 12);
    EXPECT_EQ(last_of_run(months({1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 12})), 10);
    EXPECT_EQ(last_of_run(months({10, 11, 12})), 12);
}

TEST(Season, MonthsThatAreNotOneRunHaveNoLast) {
    EXPECT_FALSE(last_of_run(months({7, 9})));
    EXPECT_FALSE(last_of_run(months({12, 2})));
    EXPECT_FALSE(last_of_run(MonthSet()));
    EXPECT_FALSE(last_of_run(months({1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12})));
}

}  // namespace
}  // namespace eaveshed
