#include "eaveshed/words/months_text.hpp"

#include <fmt/format.h>

#include "eaveshed/core/calendar.hpp"
#include "eaveshed/core/season.hpp"

namespace eaveshed {

std::string months_text(const std::vector<int>& months) {
    const MonthSet set{months};
    const auto last = last_of_run(set);
    if (last && months.size() > 1) {
        const int first = (*last - static_cast<int>(months.size()) + 12) % 12 + 1;
        return fmt::format("{} to {}", month_name(first), month_name(*last));
    }
    std::string text;
    for (const int month : months) {
        text += text.empty() ? "" : ", ";
        text += month_name(month);
    }
    return text;
}

}  // namespace eaveshed
