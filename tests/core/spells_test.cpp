// method.md 5.6: a record of days in fewer steps.
#include "eaveshed/core/spells.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>

namespace eaveshed {
namespace {

Season draws_in(const std::vector<int>& draw) {
    const std::array<int, 3> forbear{8, 9, 10};
    return {.fill = {}, .forbear = MonthSet(forbear), .draw = MonthSet(draw), .first_month = 11};
}

Timeline two_years(const Season& season) {
    return make_series_timeline(RainKind::daily, Calendar::standard, {1999, 11, 1}, 731, season);
}

// Positions in a year that begins on 1 November 1999.
constexpr std::size_t kAugust = 274;  // 30 + 31 + 31 + 29 + 31 + 30 + 31 + 30 + 31
constexpr std::size_t kJuly = kAugust - 31;

TEST(Spells, AMonthWithoutDrawsIsOneStep) {
    const Season season = draws_in({8, 9, 10});
    const Timeline daily = two_years(season);
    std::vector<bool> wet(daily.steps.size(), false);
    wet[3] = wet[10] = true;
    const CondensedDays days = condense_days(daily, wet, season);
    ASSERT_EQ(days.timeline.years.size(), 2U);
    EXPECT_EQ(days.timeline.steps.size(), 24U);  // dry summers: a month is one run
    EXPECT_EQ(days.timeline.steps[0].days, 30);
    EXPECT_EQ(days.timeline.years[0].first_forbear, 9U);
    EXPECT_EQ(days.timeline.years[0].end, 12U);
    EXPECT_EQ(days.timeline.years[0].days, 366);
    EXPECT_EQ(days.timeline.years[0].forbear_days, 92);
    EXPECT_EQ(days.wet_steps, (std::vector<std::uint32_t>{3, 10}));
    // Dry 3, wet, dry 6, wet, dry 19 days of November.
    EXPECT_EQ(days.spells[0].days, 3);
    EXPECT_TRUE(days.spells[1].wet);
    EXPECT_EQ(days.spells[2].days, 6);
    EXPECT_EQ(days.spells[4].days, 19);
    EXPECT_EQ(days.spells[4].step, 0U);
}

TEST(Spells, AWetDayOfADrawMonthStandsAlone) {
    const Season season = draws_in({8, 9, 10});
    const Timeline daily = two_years(season);
    std::vector<bool> wet(daily.steps.size(), false);
    wet[kAugust + 5] = wet[kAugust + 6] = true;
    const CondensedDays days = condense_days(daily, wet, season);
    const std::size_t august = days.timeline.years[0].first_forbear;
    std::vector<int> lengths;
    for (std::size_t i = august; days.timeline.steps[i].month == 8; ++i) {
        lengths.push_back(days.timeline.steps[i].days);
    }
    EXPECT_EQ(lengths, (std::vector<int>{5, 1, 1, 24}));
}

TEST(Spells, ADrawMonthBeforeTheForbearanceKeepsItsDays) {
    const Season season = draws_in({7, 8, 9, 10});
    const Timeline daily = two_years(season);
    const CondensedDays days = condense_days(daily, std::vector<bool>(daily.steps.size(), false), season);
    const auto of_july = std::ranges::count(days.timeline.steps, 7, &Step::month);
    EXPECT_EQ(of_july, 62);
    EXPECT_EQ(std::ranges::count(days.timeline.steps, 8, &Step::month), 2);
    EXPECT_EQ(days.timeline.years[0].first_forbear, 8U + 31U);
    EXPECT_EQ(kJuly + 31U, kAugust);
}

TEST(Spells, HoldEveryDayOnceAndInOrder) {
    const Season season = draws_in({6, 9});
    // Begins and ends within a tank year.
    const Timeline daily = make_series_timeline(RainKind::daily, Calendar::standard, {1999, 3, 17}, 1500, season);
    std::vector<bool> wet(daily.steps.size());
    for (std::size_t i = 0; i < wet.size(); ++i) {
        wet[i] = i % 7 == 0 || i % 11 == 3;
    }
    const CondensedDays days = condense_days(daily, wet, season);
    std::size_t day = 0;
    std::size_t wet_spell = 0;
    std::vector<int> in_step(days.timeline.steps.size(), 0);
    for (const Spell& spell : days.spells) {
        for (int i = 0; i < spell.days; ++i, ++day) {
            EXPECT_EQ(daily.steps[day].month, spell.month);
            EXPECT_EQ(wet[day], spell.wet);
        }
        EXPECT_EQ(days.timeline.steps.at(spell.step).month, spell.month);
        in_step[spell.step] += spell.days;
        if (spell.wet) {
            EXPECT_EQ(days.wet_steps.at(wet_spell++), day - 1);
        }
    }
    EXPECT_EQ(day, daily.steps.size());
    EXPECT_EQ(wet_spell, days.wet_steps.size());
    ASSERT_EQ(days.timeline.years.size(), daily.years.size());
    EXPECT_EQ(days.timeline.partial_years, daily.partial_years);
    for (std::size_t i = 0; i < in_step.size(); ++i) {
        EXPECT_EQ(in_step[i], days.timeline.steps[i].days);
    }
    for (const TankYear& year : days.timeline.years) {
        int sum = 0;
        for (std::size_t i = year.begin; i < year.end; ++i) {
            sum += days.timeline.steps[i].days;
        }
        EXPECT_EQ(sum, year.days);
        EXPECT_EQ(days.timeline.steps[year.first_forbear].month, 8);
    }
}

}  // namespace
}  // namespace eaveshed
