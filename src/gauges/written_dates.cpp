#include "eaveshed/gauges/written_dates.hpp"

#include <algorithm>
#include <cctype>
#include <utility>

#include <fmt/format.h>

#include "eaveshed/core/error.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr int kMonthsOfYear = 12;

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}
bool is_letter(char c) {
    return std::isalpha(static_cast<unsigned char>(c)) != 0;
}

// A run of digits or of letters.
struct DatePart {
    std::string_view text;
    [[nodiscard]] bool number() const { return is_digit(text.front()); }
    [[nodiscard]] bool year() const { return number() && text.size() == 4; }
    [[nodiscard]] bool small() const { return number() && text.size() <= 2; }
    [[nodiscard]] int value() const {
        int value = 0;
        for (const char digit : text) {
            value = 10 * value + (digit - '0');
        }
        return value;
    }
};

// The parts of a text that is nothing but parts and what may stand between them; else none.
std::vector<DatePart> parts_of(std::string_view text) {
    constexpr std::string_view kBetween = "-/. ,_";
    std::vector<DatePart> parts;
    for (std::size_t at = 0; at < text.size();) {
        const auto same = is_digit(text[at]) ? is_digit : is_letter;
        const std::size_t begin = at;
        while (at < text.size() && same(text[at])) {
            ++at;
        }
        if (at > begin) {
            parts.push_back({text.substr(begin, at - begin)});
        } else if (kBetween.find(text[at++]) == std::string_view::npos) {
            return {};
        }
    }
    return parts;
}

// "07.30", "7.30.15".
bool is_dotted_time(std::string_view text) {
    const std::vector<DatePart> parts = parts_of(text);
    return parts.size() >= 2 && text.find_first_not_of("0123456789.") == std::string_view::npos &&
           std::ranges::all_of(parts, [](const DatePart& part) { return part.small(); });
}

// Whether the text is a day by the count of its parts: year, month and day, or eight digits.
bool is_whole(std::string_view text) {
    constexpr std::size_t kDigits = 8;
    const std::vector<DatePart> parts = parts_of(text);
    return parts.size() == 3 || (parts.size() == 1 && parts.front().number() && parts.front().text.size() == kDigits);
}

// Without a time of day: what begins at the last blank or T before a colon, or at the last of them before numbers with
// points behind a whole date.
std::string_view without_time(std::string_view text) {
    const std::size_t colon = text.find(':');
    const std::size_t begin = text.substr(0, colon).find_last_of(" T");
    const std::string_view date = text.substr(0, begin == std::string_view::npos ? 0 : begin);
    const bool timed = colon != std::string_view::npos ||
                       (begin != std::string_view::npos && is_dotted_time(text.substr(begin + 1)) && is_whole(date));
    return timed ? date : text;
}

std::optional<WrittenDate> whole_month(int year, std::optional<int> month) {
    return month && *month >= 1 && *month <= kMonthsOfYear ? std::optional(WrittenDate{.year = year, .month = *month})
                                                           : std::nullopt;
}

std::optional<WrittenDate> day_of(int year, std::optional<int> month, int day) {
    auto date = whole_month(year, month);
    if (!date || day < 1 || day > 31) {
        return std::nullopt;
    }
    date->day = day;
    return date;
}

std::optional<WrittenDate> without_separators(std::string_view digits) {
    const auto number = [&](std::size_t at, std::size_t count) { return DatePart{digits.substr(at, count)}.value(); };
    switch (digits.size()) {
        case 8: return day_of(number(0, 4), number(4, 2), number(6, 2));
        case 6: return whole_month(number(0, 4), number(4, 2));
        default: return std::nullopt;
    }
}

std::optional<WrittenDate> of_two(const DatePart& a, const DatePart& b) {
    const bool year_first = a.year();
    const DatePart& year = year_first ? a : b;
    const DatePart& month = year_first ? b : a;
    return year.year() ? whole_month(year.value(), written_month(month.text)) : std::nullopt;
}

std::optional<WrittenDate> of_three(const DatePart& a, const DatePart& b, const DatePart& c, bool dots) {
    if (a.year() && c.small()) {
        return day_of(a.value(), written_month(b.text), c.value());
    }
    if (!c.year()) {
        return std::nullopt;
    }
    if (!b.number() && a.small()) {
        return day_of(c.value(), written_month(b.text), a.value());
    }
    if (!a.number() && b.small()) {
        return day_of(c.value(), written_month(a.text), b.value());
    }
    if (!a.small() || !b.small() || a.value() < 1 || b.value() < 1 || std::min(a.value(), b.value()) > kMonthsOfYear ||
        std::max(a.value(), b.value()) > 31) {
        return std::nullopt;
    }
    if (dots) {
        return day_of(c.value(), b.value(), a.value());
    }
    return WrittenDate{.year = c.value(), .first = a.value(), .second = b.value()};
}

// Which lines say that the day comes first, and which that the month does; 0 for none.
struct OrderShown {
    std::size_t day_first = 0;
    std::size_t month_first = 0;
};

OrderShown shown_order(const std::vector<DateAtLine>& dates, bool months) {
    OrderShown shown;
    bool first_is_one = true;
    bool second_is_one = true;
    std::size_t open = 0;
    std::size_t line = 0;
    for (const auto& [date, at] : dates) {
        if (!date.open()) {
            continue;
        }
        ++open;
        line = at;
        shown.day_first = shown.day_first == 0 && date.first > kMonthsOfYear ? at : shown.day_first;
        shown.month_first = shown.month_first == 0 && date.second > kMonthsOfYear ? at : shown.month_first;
        first_is_one = first_is_one && date.first == 1;
        second_is_one = second_is_one && date.second == 1;
    }
    if (months && open > 1 && first_is_one != second_is_one) {
        (first_is_one ? shown.day_first : shown.month_first) = line;
    }
    return shown;
}

std::string order_name(bool day_first) {
    return day_first ? "day-month" : "month-day";
}

// Whether the day comes first.
bool settled(const OrderShown& shown, DateOrder order, const std::string& where, const std::string& setting,
             std::size_t any_line) {
    if (shown.day_first != 0 && shown.month_first != 0) {
        throw input_error(
            where,
            fmt::format("the day first in line {} and the month first in line {}", shown.day_first, shown.month_first),
            "one spelling of dates", "write all of them as 1990-03-14");
    }
    const bool data_say = shown.day_first != 0 || shown.month_first != 0;
    if (!data_say && order == DateOrder::from_data) {
        throw input_error(
            fmt::format("{}, line {}", where, any_line),
            "dates that may have the day or the month first: no number in them is over 12", "one order of the two",
            fmt::format("set {} to \"day-month\" or \"month-day\", or write dates as 1990-03-14", setting));
    }
    const bool day_first = data_say ? shown.day_first != 0 : order == DateOrder::day_month;
    if (data_say && order != DateOrder::from_data && day_first != (order == DateOrder::day_month)) {
        throw input_error(fmt::format("{}, line {}", where, std::max(shown.day_first, shown.month_first)),
                          fmt::format("a date that has to be read as {}", order_name(day_first)),
                          fmt::format("{} = \"{}\"", setting, order_name(!day_first)), "leave the setting out");
    }
    return day_first;
}

}  // namespace

std::optional<int> written_month(std::string_view text) {
    if (text.empty()) {
        return std::nullopt;
    }
    if (std::ranges::all_of(text, is_digit)) {
        const int month = text.size() <= 2 ? DatePart{text}.value() : 0;
        return month >= 1 && month <= kMonthsOfYear ? std::optional(month) : std::nullopt;
    }
    return month_named(text.back() == '.' ? text.substr(0, text.size() - 1) : text);
}

std::optional<WrittenDate> written_date(std::string_view text) {
    const std::string_view date = without_time(text);
    const std::vector<DatePart> parts = parts_of(date);
    switch (parts.size()) {
        case 1: return parts[0].number() ? without_separators(parts[0].text) : std::nullopt;
        case 2: return of_two(parts[0], parts[1]);
        case 3: return of_three(parts[0], parts[1], parts[2], date.find('.') != std::string_view::npos);
        default: return std::nullopt;
    }
}

std::string settle_order(std::vector<DateAtLine>& dates, DateOrder order, bool months, const std::string& where,
                         const std::string& setting) {
    const auto open = std::ranges::find_if(dates, [](const DateAtLine& at) { return at.date.open(); });
    if (open == dates.end()) {
        return "";
    }
    const OrderShown shown = shown_order(dates, months);
    const bool day_first = settled(shown, order, where, setting, open->line);
    for (auto& [date, line] : dates) {
        if (date.open()) {
            date.day = day_first ? date.first : date.second;
            date.month = day_first ? date.second : date.first;
            date.first = date.second = 0;
        }
    }
    const bool by_setting = shown.day_first == 0 && shown.month_first == 0;
    return fmt::format("dates with the {} first, {}", day_first ? "day" : "month",
                       by_setting ? "as " + setting + " says" : std::string("as the data show"));
}

}  // namespace eaveshed
