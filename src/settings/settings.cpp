#include "eaveshed/settings/settings.hpp"

#include "eaveshed/core/calendar.hpp"
#include "eaveshed/core/error.hpp"

namespace eaveshed {

// Common sizes of round plastic and steel tanks: 500, 1,500, 2,500 and 5,000 US gallons, and the last in groups.
std::vector<TankOption> shipped_catalogue() {
    constexpr TankOption kLargest{18.9, 3.02, 2.95, 1, std::nullopt};
    std::vector<TankOption> options{
        {1.9, 1.22, 1.52, 1, std::nullopt},
        {5.7, 1.83, 2.13, 1, std::nullopt},
        {9.5, 2.41, 2.31, 1, std::nullopt},
        kLargest,
    };
    for (const int count : {2, 3, 5, 10}) {
        options.push_back(kLargest);
        options.back().count = count;
    }
    return options;
}

Season Settings::season_months() const {
    Season months;
    months.fill = MonthSet(season.fill_months);
    months.forbear = MonthSet(season.forbear_months);
    months.draw = season.draw_months.empty() ? months.forbear : MonthSet(season.draw_months);
    const auto last = last_of_run(months.forbear);
    if (!last) {
        internal_error("forbearance months that are not one run round the year");
    }
    months.first_month = next_month(*last);
    return months;
}

}  // namespace eaveshed
