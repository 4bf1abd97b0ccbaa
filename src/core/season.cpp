#include "eaveshed/core/season.hpp"

#include <bit>

#include "eaveshed/core/calendar.hpp"
#include "eaveshed/core/error.hpp"

namespace eaveshed {

MonthSet::MonthSet(std::span<const int> months) {
    for (const int month : months) {
        if (month < 1 || month > 12) {
            internal_error("a month outside 1..12");
        }
        m_bits |= 1U << static_cast<unsigned>(month);
    }
}

int MonthSet::count() const {
    return std::popcount(m_bits);
}

int MonthSet::mean_year_days() const {
    int days = 0;
    for (int month = 1; month <= 12; ++month) {
        days += has(month) ? eaveshed::mean_year_days(month) : 0;
    }
    return days;
}

std::optional<int> last_of_run(MonthSet months) {
    std::optional<int> last;
    for (int month = 1; month <= 12; ++month) {
        if (months.has(month) && !months.has(next_month(month))) {
            if (last) {
                return std::nullopt;
            }
            last = month;
        }
    }
    return last;
}

}  // namespace eaveshed
