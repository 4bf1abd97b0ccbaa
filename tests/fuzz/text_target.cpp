// Dates, units and numbers in text. What was understood is within its bounds, and printed and read again the same.
#include <algorithm>
#include <array>
#include <cmath>

#include "eaveshed/core/calendar.hpp"
#include "eaveshed/core/number_spelling.hpp"
#include "eaveshed/core/units.hpp"
#include "eaveshed/gauges/column_names.hpp"
#include "eaveshed/gauges/written_dates.hpp"
#include "eaveshed/settings/table.hpp"
#include "eaveshed/words/unit_text.hpp"
#include "eaveshed/words/wording.hpp"
#include "fuzz/target.hpp"

namespace eaveshed::fuzz {

namespace {

void read_dates(std::string_view text) {
    for (const Calendar calendar : {Calendar::standard, Calendar::noleap, Calendar::days_360}) {
        if (const auto date = date_from_text(text, calendar)) {
            require(date_from_text(to_text(*date), calendar) == date, "a date that prints as another");
            require(date_of(calendar, day_number(calendar, *date)) == *date, "a date whose day is another's");
        }
    }
    if (const auto date = written_date(text)) {
        if (date->open()) {
            require(date->month == 0 && !date->day && date->first <= 31 && date->second >= 1 && date->second <= 31,
                    "an open date with odd numbers");
        } else {
            require(date->month >= 1 && date->month <= 12 && date->year >= 0 && date->year <= 9999,
                    "a date with an odd month or year");
            require(!date->day || (*date->day >= 1 && *date->day <= 31), "a date with an odd day");
        }
    }
    if (const auto month = written_month(text)) {
        require(written_month(month_name(*month)) == month, "a month whose name is another's");
    }
}

void read_numbers(std::string_view text) {
    if (const auto number = number_in(text)) {
        require(std::isfinite(*number), "a number that is not finite");
        require(number_in(number_text(*number)) == number, "a number that prints as another");
    }
    const SpelledNumber spelled = spelled_number(text);
    if (spelled.spelling == NumberSpelling::restored) {
        const SpelledNumber again = spelled_number(spelled.text);
        require(again.spelling == NumberSpelling::plain && again.text == spelled.text, "a number restored twice");
    } else {
        require(spelled.text == text, "a number changed without need");
    }
}

void read_units(std::string_view text) {
    const std::string whole(text);
    for (const Unit& unit : units()) {
        if (const auto quantity = in_unit(text, unit)) {
            require(std::isfinite(*quantity), "a quantity that is not finite");
        }
    }
    if (const Unit* const unit = find_unit(text)) {
        require(find_unit(unit->name()) == unit, "a unit whose name is another's");
    }
    if (const auto length = length_unit_from_text(text)) {
        require(length->metres > 0.0 && std::isfinite(length->metres), "a length of nothing");
    }
    if (const auto rain = rain_unit_from_text(text)) {
        const auto again = rain_unit_from_text(to_text(rain->unit));
        require(again && again->unit == rain->unit, "a unit of rain that prints as another");
    }
    (void)temperature_unit_from_text(text);
    (void)gauge_temperature_unit(whole);
    const ColumnName column = column_name(whole);
    require(column.name == whole && column.base.size() <= whole.size(), "a heading that grew");
}

void make_safe(std::string_view text) {
    std::string valid(text);
    (void)replace_invalid_utf8(valid);
    require(!replace_invalid_utf8(valid), "a text made valid that is not");
    const std::string shown = printable(text);
    const auto control = [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7F; };
    require(std::ranges::none_of(shown, control), "a control character in a text made printable");
    require(printable(shown, shown.size()) == shown, "a printable text made printable is another");
}

}  // namespace

void fuzz_text(Bytes bytes) {
    const std::string_view text = text_of(bytes);
    read_dates(text);
    read_numbers(text);
    read_units(text);
    make_safe(text);
}

}  // namespace eaveshed::fuzz
