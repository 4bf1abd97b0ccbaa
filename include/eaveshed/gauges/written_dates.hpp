// Dates as people and agencies write them in tables. Whether the day or the month comes first is settled by all dates
// of a table together, never guessed from one.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "eaveshed/core/calendar.hpp"
#include "eaveshed/settings/settings.hpp"

namespace eaveshed {

// What one cell says. `first` and `second`: the two numbers before the year, where the text leaves their order open.
struct WrittenDate {
    int year = 0;
    int month = 0;             // 0 while the order is open
    std::optional<int> day{};  // none of a month as a whole, and while the order is open
    int first = 0;
    int second = 0;

    [[nodiscard]] bool open() const { return first > 0; }
};

// 1990-03-14 (also with / . or blanks, or 19900314), 3/14/1990 and 14/3/1990, 14.03.1990 (the day first: common
// practice), 14-Mar-1990, Mar 14 1990; without a day 1990-03, 199003, 3/1990, Mar 1990. English names of months, of
// three letters or more. A time of day behind the date is passed over. None for anything else, a year of two digits
// among it. Whether the numbers are a date of a calendar is not asked here.
[[nodiscard]] std::optional<WrittenDate> written_date(std::string_view text);

// 1 to 12 for "3", "03", "Mar", "march".
[[nodiscard]] std::optional<int> written_month(std::string_view text);

// A date and the line that it stands in.
struct DateAtLine {
    WrittenDate date;
    std::size_t line = 0;
};

// Settles the order of open dates, in place: by the setting; by a number over 12; in a table of months by the number
// that is 1 throughout. `where`: of the table. `setting`: such as "rain.date_order", for messages. Gives the order in
// words. Throws input errors: nothing settles it; two lines, or a line and the setting, that contradict each other.
[[nodiscard]] std::string settle_order(std::vector<DateAtLine>& dates, DateOrder order, bool months,
                                       const std::string& where, const std::string& setting);

}  // namespace eaveshed
