// Thirty years of days with a wet winter and a dry summer, condensed as the program condenses them.
#pragma once

#include <array>
#include <vector>

#include "eaveshed/core/spells.hpp"
#include "eaveshed/rain/harvest.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed::testing {

constexpr std::size_t kRecordDays = 10958;  // 1991 to 2020

inline Season shipped_season() {
    const std::array<int, 7> fill{11, 12, 1, 2, 3, 4, 5};
    const std::array<int, 3> forbear{8, 9, 10};
    return {.fill = MonthSet(fill), .forbear = MonthSet(forbear), .draw = MonthSet(forbear), .first_month = 11};
}

struct InventedRain {
    Timeline daily;
    CondensedDays condensed;
    std::vector<double> wet_mm;  // one a wet spell
};

inline InventedRain invented_rain() {
    InventedRain rain;
    rain.daily = make_series_timeline(RainKind::daily, Calendar::standard, {1991, 1, 1}, kRecordDays, shipped_season());
    RandomNumbers random(2);
    std::vector<bool> wet;
    std::vector<double> all_mm;
    for (const Step& step : rain.daily.steps) {
        const bool winter = step.month >= 10 || step.month <= 5;
        wet.push_back(random.chance(winter ? 0.35 : 0.04));
        all_mm.push_back(wet.back() ? random.between(0.1, 25.0) : 0.0);
    }
    rain.condensed = condense_days(rain.daily, wet, shipped_season());
    for (const std::uint32_t day : rain.condensed.wet_steps) {
        rain.wet_mm.push_back(all_mm[day]);
    }
    return rain;
}

// As shipped, so far as they are written out here.
inline HarvestRules shipped_harvest() {
    return {.runoff_coefficient = 0.85,
            .collection_efficiency = 0.95,
            .first_flush_mm = 0.5,
            .dry_days = 1,
            .wet_day_mm = 0.2,
            .mean_event_mm = 12.0};
}

}  // namespace eaveshed::testing
