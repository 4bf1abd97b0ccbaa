#include "eaveshed/notes/upkeep.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <string>

namespace eaveshed {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;

MonthSet months(std::vector<int> list) {
    return MonthSet(list);
}

KnownMonthValues all(double value) {
    KnownMonthValues values;
    values.fill(value);
    return values;
}

UpkeepFacts winter_rain() {
    return {.fill = months({11, 12, 1, 2, 3, 4, 5}), .forbear = months({8, 9, 10}), .freezing = {}};
}

std::vector<int> months_of(const std::vector<UpkeepTask>& calendar, UpkeepTime time) {
    const auto found = std::ranges::find(calendar, time, &UpkeepTask::time);
    return found != calendar.end() ? found->months : std::vector<int>{};
}

bool says(const std::vector<UpkeepTask>& calendar, const std::string& word) {
    return std::ranges::any_of(
        calendar, [&](const UpkeepTask& task) { return std::string(task.what).find(word) != std::string::npos; });
}

TEST(FreezingMonths, AreThoseWithAMeanMinimumBelowZero) {
    KnownMonthValues minimum = all(6.0);
    minimum[0] = -0.1;
    minimum[1] = 0.0;
    minimum[11] = -4.0;
    EXPECT_EQ(freezing_months(minimum), months({1, 12}));
    EXPECT_EQ(freezing_months(all(0.0)), MonthSet());
}

TEST(FreezingMonths, AreNotKnownWhereAMonthIsMissing) {
    KnownMonthValues minimum = all(6.0);
    minimum[6].reset();
    EXPECT_FALSE(freezing_months(minimum));
    EXPECT_FALSE(freezing_months({}));
}

TEST(FreezingMonths, NeverBecomeFewerWhenItIsColder) {
    KnownMonthValues minimum;
    for (std::size_t i = 0; i < 12; ++i) {
        minimum[i] = 9.0 - 1.5 * static_cast<double>(i);
    }
    int last = 0;
    for (double colder = 0.0; colder < 20.0; colder += 0.5) {
        KnownMonthValues now = minimum;
        for (auto& value : now) {
            *value -= colder;
        }
        const int count = freezing_months(now)->count();
        EXPECT_GE(count, last);
        last = count;
    }
    EXPECT_EQ(last, 12);
}

TEST(Leaves, GatherBeyondTheShareAndNotAtIt) {
    EXPECT_FALSE(leaves_gather(0.20, 0.20));
    EXPECT_TRUE(leaves_gather(0.21, 0.20));
    EXPECT_FALSE(leaves_gather(0.0, 0.0));
}

TEST(OrderRoundTheYear, BeginsAfterAMonthThatIsNotInTheSet) {
    EXPECT_THAT(in_order_round_the_year(months({1, 2, 11, 12})), ElementsAre(11, 12, 1, 2));
    EXPECT_THAT(in_order_round_the_year(months({3, 9, 10, 4})), ElementsAre(3, 4, 9, 10));
    EXPECT_THAT(in_order_round_the_year(months({1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12})),
                ElementsAre(1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12));
    EXPECT_THAT(in_order_round_the_year(MonthSet()), IsEmpty());
}

TEST(Calendar, StandsInTheBasinsOwnSeasons) {
    UpkeepFacts facts = winter_rain();
    facts.freezing = months({12, 1});
    const auto calendar = upkeep_calendar(facts);
    EXPECT_THAT(months_of(calendar, UpkeepTime::before_first_rain), ElementsAre(10));
    EXPECT_THAT(months_of(calendar, UpkeepTime::in_storms), ElementsAre(11, 12, 1, 2, 3, 4, 5));
    EXPECT_THAT(months_of(calendar, UpkeepTime::before_frost), ElementsAre(11));
    EXPECT_THAT(months_of(calendar, UpkeepTime::before_dry_season), ElementsAre(7));
    EXPECT_THAT(months_of(calendar, UpkeepTime::after_dry_season), ElementsAre(11));
    EXPECT_TRUE(std::ranges::is_sorted(calendar, {}, &UpkeepTask::time));
    // The other half of the Earth.
    const auto south =
        upkeep_calendar({.fill = months({5, 6, 7, 8, 9}), .forbear = months({1, 2, 3}), .freezing = months({6, 7, 8})});
    EXPECT_THAT(months_of(south, UpkeepTime::before_first_rain), ElementsAre(4));
    EXPECT_THAT(months_of(south, UpkeepTime::before_frost), ElementsAre(5));
    EXPECT_THAT(months_of(south, UpkeepTime::before_dry_season), ElementsAre(12));
    EXPECT_THAT(months_of(south, UpkeepTime::after_dry_season), ElementsAre(4));
}

TEST(Calendar, SaysNothingOfFrostWhereNoneIsKnownOrNoneComes) {
    UpkeepFacts facts = winter_rain();
    EXPECT_THAT(months_of(upkeep_calendar(facts), UpkeepTime::before_frost), IsEmpty());
    facts.freezing = MonthSet();
    EXPECT_THAT(months_of(upkeep_calendar(facts), UpkeepTime::before_frost), IsEmpty());
    facts.pump = true;
    EXPECT_FALSE(says(upkeep_calendar(facts), "Drain the pump"));
    facts.freezing = months({1});
    EXPECT_TRUE(says(upkeep_calendar(facts), "Drain the pump"));
}

TEST(Calendar, SpeaksOfLeavesPumpsAndWetLinesOnlyWhereThereAreSome) {
    UpkeepFacts facts = winter_rain();
    facts.freezing = months({1});
    facts.wet_line = false;
    const auto plain = upkeep_calendar(facts);
    EXPECT_FALSE(says(plain, "trees"));
    EXPECT_FALSE(says(plain, "Trim"));
    EXPECT_FALSE(says(plain, "pump"));
    EXPECT_FALSE(says(plain, "stays full"));
    facts.leaves = facts.pump = true;
    facts.wet_line = true;
    const auto more = upkeep_calendar(facts);
    EXPECT_TRUE(says(more, "trees"));
    EXPECT_TRUE(says(more, "Trim"));
    EXPECT_TRUE(says(more, "pump"));
    EXPECT_TRUE(says(more, "stays full"));
    EXPECT_GT(more.size(), plain.size());
}

}  // namespace
}  // namespace eaveshed
