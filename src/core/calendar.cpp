#include "eaveshed/core/calendar.hpp"

#include <algorithm>

namespace eaveshed {

std::optional<Calendar> calendar_from_text(std::string_view text) {
    if (text == "standard" || text == "gregorian" || text == "proleptic_gregorian") {
        return Calendar::standard;
    }
    if (text == "noleap" || text == "365_day") {
        return Calendar::noleap;
    }
    if (text == "360_day") {
        return Calendar::days_360;
    }
    return std::nullopt;
}

std::string_view to_text(Calendar calendar) {
    switch (calendar) {
        case Calendar::standard: return "standard";
        case Calendar::noleap: return "noleap";
        case Calendar::days_360: return "360_day";
    }
    return "";
}

namespace {

bool is_leap(int year) {
    return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

// Days before 1 January of the year, counted from 0000-01-01 (a leap year in the proleptic Gregorian calendar).
std::int64_t days_before_year(Calendar calendar, std::int64_t year) {
    if (calendar == Calendar::days_360) {
        return year * 360;
    }
    if (calendar == Calendar::noleap) {
        return year * 365;
    }
    const std::int64_t past = year - 1;  // leap years in 0..past, and year 0 itself
    const auto floor_div = [](std::int64_t a, std::int64_t b) { return a >= 0 ? a / b : -((-a + b - 1) / b); };
    return year * 365 + floor_div(past, 4) - floor_div(past, 100) + floor_div(past, 400) + 1;
}

std::string digits_of(int number, std::size_t width) {
    std::string text = std::to_string(number);
    text.insert(0, width - std::min(width, text.size()), '0');
    return text;
}

char small_letter(char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}

// Digits only: no sign, no blank. The callers pass four at most.
std::optional<int> whole_number(std::string_view text) {
    int value = 0;
    for (const char digit : text) {
        if (digit < '0' || digit > '9') {
            return std::nullopt;
        }
        value = 10 * value + (digit - '0');
    }
    return value;
}

}  // namespace

std::string to_text(Date date) {
    return year_month_text(date) + '-' + digits_of(date.day, 2);
}

std::string year_month_text(Date date) {
    return digits_of(date.year, 4) + '-' + digits_of(date.month, 2);
}

std::string_view month_name(int month) {
    constexpr std::array<std::string_view, 12> kNames{"January",   "February", "March",    "April",
                                                      "May",       "June",     "July",     "August",
                                                      "September", "October",  "November", "December"};
    return kNames.at(static_cast<std::size_t>(month - 1));
}

std::optional<int> month_named(std::string_view word) {
    constexpr std::size_t kShortest = 3;
    const auto begins = [word](std::string_view name) {
        return word.size() <= name.size() &&
               std::ranges::equal(word, name.substr(0, word.size()), {}, small_letter, small_letter);
    };
    for (int month = 1; word.size() >= kShortest && month <= 12; ++month) {
        if (begins(month_name(month))) {
            return month;
        }
    }
    return std::nullopt;
}

int days_in_month(Calendar calendar, int year, int month) {
    if (calendar == Calendar::days_360) {
        return 30;
    }
    const bool long_february = calendar == Calendar::standard && month == 2 && is_leap(year);
    return mean_year_days(month) + (long_february ? 1 : 0);
}

std::int64_t day_number(Calendar calendar, Date date) {
    std::int64_t number = days_before_year(calendar, date.year) + date.day - 1;
    for (int month = 1; month < date.month; ++month) {
        number += days_in_month(calendar, date.year, month);
    }
    return number;
}

Date date_of(Calendar calendar, std::int64_t number) {
    // A first guess that is never too late by more than a year, then the exact year.
    auto year = number / (calendar == Calendar::days_360 ? 360 : 366);
    while (days_before_year(calendar, year + 1) <= number) {
        ++year;
    }
    while (days_before_year(calendar, year) > number) {
        --year;
    }
    auto rest = static_cast<int>(number - days_before_year(calendar, year));
    Date date{static_cast<int>(year), 1, 1};
    while (rest >= days_in_month(calendar, date.year, date.month)) {
        rest -= days_in_month(calendar, date.year, date.month);
        ++date.month;
    }
    date.day = rest + 1;
    return date;
}

std::optional<Date> date_from_text(std::string_view text, Calendar calendar) {
    if (text.size() > 10 && (text[10] == 'T' || text[10] == ' ')) {
        text = text.substr(0, 10);
    }
    if ((text.size() != 7 && text.size() != 10) || text[4] != '-' || (text.size() == 10 && text[7] != '-')) {
        return std::nullopt;
    }
    const auto year = whole_number(text.substr(0, 4));
    const auto month = whole_number(text.substr(5, 2));
    const auto day = text.size() == 10 ? whole_number(text.substr(8, 2)) : std::optional<int>{1};
    if (!year || !month || !day || *month < 1 || *month > 12 || *day < 1 ||
        *day > days_in_month(calendar, *year, *month)) {
        return std::nullopt;
    }
    return Date{*year, *month, *day};
}

}  // namespace eaveshed
