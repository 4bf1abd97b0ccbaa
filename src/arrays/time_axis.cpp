#include "eaveshed/arrays/time_axis.hpp"

#include <array>
#include <charconv>
#include <cmath>

#include "eaveshed/core/constants.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

std::optional<NamedCalendar> named_calendar(std::string_view text) {
    const std::string name = lower_case(text);
    const auto calendar = calendar_from_text(name);
    if (!calendar) {
        return std::nullopt;
    }
    return NamedCalendar{*calendar, name != "proleptic_gregorian" && *calendar == Calendar::standard};
}

namespace {

constexpr Date kGregorianBegins{1582, 10, 15};
constexpr Date kJulianEnds{1582, 10, 5};  // the day after the last Julian one, counted on

// Reads text from the left.
class Reader {
public:
    explicit Reader(std::string_view text) : m_text(text) {}

    void skip_blanks() {
        while (!m_text.empty() && (m_text.front() == ' ' || m_text.front() == '\t')) {
            m_text.remove_prefix(1);
        }
    }
    std::string_view word() {
        skip_blanks();
        std::size_t length = 0;
        while (length < m_text.size() && m_text[length] >= 'a' && m_text[length] <= 'z') {
            ++length;
        }
        const std::string_view found = m_text.substr(0, length);
        m_text.remove_prefix(length);
        return found;
    }
    bool take(char c) {
        if (m_text.empty() || m_text.front() != c) {
            return false;
        }
        m_text.remove_prefix(1);
        return true;
    }
    template <typename Number>
    bool number(Number& value) {
        const auto [end, fault] = std::from_chars(m_text.data(), m_text.data() + m_text.size(), value);
        if (fault != std::errc{}) {
            return false;
        }
        m_text.remove_prefix(static_cast<std::size_t>(end - m_text.data()));
        return true;
    }
    [[nodiscard]] bool at_end() const { return m_text.empty(); }

private:
    std::string_view m_text;
};

std::optional<double> seconds_of(std::string_view unit) {
    struct Name {
        std::string_view name;
        double seconds;
    };
    constexpr std::array kNames{
        Name{"day", kSecondsPerDay},
        Name{"days", kSecondsPerDay},
        Name{"d", kSecondsPerDay},
        Name{"hour", 3600.0},
        Name{"hours", 3600.0},
        Name{"hr", 3600.0},
        Name{"hrs", 3600.0},
        Name{"h", 3600.0},
        Name{"minute", 60.0},
        Name{"minutes", 60.0},
        Name{"min", 60.0},
        Name{"mins", 60.0},
        Name{"second", 1.0},
        Name{"seconds", 1.0},
        Name{"sec", 1.0},
        Name{"secs", 1.0},
        Name{"s", 1.0},
    };
    for (const Name& entry : kNames) {
        if (entry.name == unit) {
            return entry.seconds;
        }
    }
    return std::nullopt;
}

// Year-month-day, each of any width.
bool take_date(Reader& reader, Date& date) {
    constexpr int kLastYear = 9999;
    reader.skip_blanks();
    return reader.number(date.year) && reader.take('-') && reader.number(date.month) && reader.take('-') &&
           reader.number(date.day) && date.year >= 0 && date.year <= kLastYear && date.month >= 1 && date.month <= 12 &&
           date.day >= 1;
}

// hour[:minute[:second]] and a mark for UTC, or nothing. False for anything else, such as another time zone.
bool take_time(Reader& reader, double& seconds) {
    reader.take('t');
    reader.skip_blanks();
    int hour = 0;
    int minute = 0;
    double second = 0.0;
    if (reader.number(hour)) {
        if (reader.take(':') && (!reader.number(minute) || (reader.take(':') && !reader.number(second)))) {
            return false;
        }
    }
    seconds = hour * 3600.0 + minute * 60.0 + second;
    const std::string_view zone = reader.word();
    if (reader.take('+') || reader.take('-')) {
        int zero = 1;
        if (!reader.number(zero) || zero != 0) {
            return false;
        }
        if (reader.take(':') && (!reader.number(zero) || zero != 0)) {
            return false;
        }
    }
    reader.skip_blanks();
    return hour >= 0 && hour <= 24 && minute >= 0 && minute < 60 && second >= 0.0 && second < 61.0 &&
           (zone.empty() || zone == "z" || zone == "utc" || zone == "gmt") && reader.at_end();
}

// Days of a date of the Julian calendar from a day of no meaning.
std::int64_t julian_days(Date date) {
    std::int64_t days = 365 * static_cast<std::int64_t>(date.year) + (date.year + 3) / 4 + date.day;
    for (int month = 1; month < date.month; ++month) {
        days += mean_year_days(month) + (month == 2 && date.year % 4 == 0 ? 1 : 0);
    }
    return days;
}

}  // namespace

std::optional<TimeUnits> TimeUnits::from_text(std::string_view text, NamedCalendar calendar) {
    const std::string lower = lower_case(text);
    if (lower.rfind("day as %y%m%d", 0) == 0) {
        TimeUnits units;
        units.m_calendar = calendar.calendar;
        units.m_absolute = true;
        return units;
    }
    Reader reader(lower);
    const auto seconds = seconds_of(reader.word());
    TimeUnits units;
    Date date;
    if (!seconds || reader.word() != "since" || !take_date(reader, date) || !take_time(reader, units.m_first_seconds)) {
        return std::nullopt;
    }
    const bool julian = calendar.mixed && calendar.calendar == Calendar::standard && date < kGregorianBegins;
    if (!julian && date.day > days_in_month(calendar.calendar, date.year, date.month)) {
        return std::nullopt;
    }
    units.m_calendar = calendar.calendar;
    units.m_seconds_per_unit = *seconds;
    units.m_first_day =
        julian ? day_number(Calendar::standard, kGregorianBegins) + julian_days(date) - julian_days(kJulianEnds)
               : day_number(calendar.calendar, date);
    return units;
}

namespace {

constexpr double kMostDays = 20000.0 * 365.0;
constexpr double kRounding = 0.5;  // seconds: 10.999999999 days is day 11

// 19900316.5 as days from 0000-01-01.
std::optional<double> absolute_moment(double value, Calendar calendar) {
    constexpr double kLargest = 99991231.0;
    if (!(value >= 101.0 && value <= kLargest + 1.0)) {
        return std::nullopt;
    }
    const auto digits = static_cast<std::int64_t>(std::floor(value));
    const Date date{static_cast<int>(digits / 10000), static_cast<int>(digits / 100 % 100),
                    static_cast<int>(digits % 100)};
    if (date.month < 1 || date.month > 12 || date.day < 1 ||
        date.day > days_in_month(calendar, date.year, date.month)) {
        return std::nullopt;
    }
    return static_cast<double>(day_number(calendar, date)) + (value - std::floor(value));
}

}  // namespace

std::optional<double> TimeUnits::moment(double value) const {
    if (m_absolute) {
        return absolute_moment(value, m_calendar);
    }
    const double days =
        static_cast<double>(m_first_day) + (value * m_seconds_per_unit + m_first_seconds) / kSecondsPerDay;
    if (!std::isfinite(days) || days < 0.0 || days > kMostDays) {
        return std::nullopt;
    }
    return days;
}

Date date_of_moment(Calendar calendar, double moment) {
    return date_of(calendar, static_cast<std::int64_t>(std::floor(moment + kRounding / kSecondsPerDay)));
}

}  // namespace eaveshed
