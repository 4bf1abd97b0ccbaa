// A daily record in fewer steps, for everything that only cares about days with rain and days with draws.
#pragma once

#include <cstdint>
#include <vector>

#include "eaveshed/core/season.hpp"
#include "eaveshed/core/timeline.hpp"

namespace eaveshed {

// A day on which it may have rained, or a run of days without rain in one step.
struct Spell {
    std::uint32_t step = 0;  // of the condensed timeline
    std::int8_t month = 1;
    std::int8_t days = 1;
    bool wet = false;  // then one day, and the next of the wet days
};

// Steps of the condensed timeline are, in the order of time: a month without draws; a wet day of a month with draws; a
// run of dry days of such a month. Before the first forbearance month of a tank year a month with draws keeps all its
// days, so that nothing of how a store fills is lost. Every step lies in one month of one tank year.
// method.md 5.6.
struct CondensedDays {
    Timeline timeline;                     // kind daily; the years count its steps
    std::vector<Spell> spells;             // all days of the record in order
    std::vector<std::uint32_t> wet_steps;  // positions in the daily record, ascending: one per wet spell
};

// `daily` with one flag per day: whether it may have rained anywhere that matters.
[[nodiscard]] CondensedDays condense_days(const Timeline& daily, const std::vector<bool>& wet, const Season& season);

// Every day a wet spell and a step of its own: the record as it is.
[[nodiscard]] CondensedDays as_recorded(const Timeline& daily);

}  // namespace eaveshed
