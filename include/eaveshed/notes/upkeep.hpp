// What has to be done in which months of the year: frost, leaves, and the calendar of the basin's own seasons.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

#include "eaveshed/core/closed_list.hpp"
#include "eaveshed/core/season.hpp"

namespace eaveshed {

// Twelve values, January first; none where nothing is known.
using KnownMonthValues = std::array<std::optional<double>, 12>;

// The months whose mean daily minimum is below 0 C. None where a month is not known: what is missing is no frost-free
// month.
// method.md 10.9.
[[nodiscard]] std::optional<MonthSet> freezing_months(const KnownMonthValues& minimum_c);

// Whether a roof under that much canopy wants its gutters and screens cleaned more often than once a year.
// method.md 10.10.
[[nodiscard]] constexpr bool leaves_gather(double leaves_share, double canopy_share) {
    return leaves_share > canopy_share;
}

// When in the year something is to be done.
enum class UpkeepTime : std::uint8_t {
    before_first_rain,
    in_storms,
    before_frost,
    before_dry_season,
    after_dry_season
};
template <>
inline constexpr TermList<5> kTermList<UpkeepTime>{
    "upkeep_time",
    "when in the year something is to be done",
    {{
        {"before_first_rain", "in the month before the wet season begins"},
        {"in_storms", "in the months that fill the store, after every storm"},
        {"before_frost", "in the month before the first that freezes"},
        {"before_dry_season", "in the month before the season in which the creek keeps its water"},
        {"after_dry_season", "in the month after that season"},
    }}};

// What the calendar depends on.
struct UpkeepFacts {
    MonthSet fill;                     // months that fill the store
    MonthSet forbear;                  // months in which the creek keeps its water
    std::optional<MonthSet> freezing;  // none where temperatures are not known
    bool leaves = false;               // leaves_gather
    bool pump = false;
    std::optional<bool> wet_line{};  // none where it is not known
};

// One line of the calendar: its months, ascending from the first of a run round the year, and what to do.
struct UpkeepTask {
    UpkeepTime time = UpkeepTime::before_first_rain;
    std::vector<int> months;
    std::string_view what;
};

// The year's work in the order of the closed list, the tasks of a time in the order of importance. What does not apply
// is left out: frost without freezing months or without anything known of them, months of a season that is no one run
// round the year. The tasks are common practice.
// method.md 10.11.
[[nodiscard]] std::vector<UpkeepTask> upkeep_calendar(const UpkeepFacts& facts);

// The months of a set in their order round the year, beginning after a month that is not in it: 11, 12, 1, 2. Of
// several runs the one that begins first after New Year comes first. All twelve: 1 to 12.
[[nodiscard]] std::vector<int> in_order_round_the_year(MonthSet months);

}  // namespace eaveshed
