#include "eaveshed/climate/name_dates.hpp"

#include <algorithm>
#include <cctype>
#include <set>
#include <string_view>

#include <fmt/format.h>

#include "eaveshed/core/calendar.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

// A run of digits, or of letters in lower case, and whether one mark alone parts it from the run before.
struct Run {
    std::string text;
    bool digits = false;
    bool joined = false;
};

std::vector<Run> runs_of(const std::string& name) {
    const auto is_digit = [](char c) { return c >= '0' && c <= '9'; };
    const auto is_letter = [](char c) { return std::isalpha(static_cast<unsigned char>(c)) != 0; };
    std::vector<Run> runs;
    std::size_t last_end = std::string::npos;
    for (std::size_t at = 0; at < name.size();) {
        if (!is_digit(name[at]) && !is_letter(name[at])) {
            ++at;
            continue;
        }
        const bool digits = is_digit(name[at]);
        const std::size_t begin = at;
        while (at < name.size() && (digits ? is_digit(name[at]) : is_letter(name[at]))) {
            ++at;
        }
        const bool mark = last_end != std::string::npos && begin == last_end + 1 &&
                          std::string_view("-_. ").find(name[last_end]) != std::string_view::npos;
        runs.push_back({lower_case(name.substr(begin, at - begin)), digits, mark});
        last_end = at;
    }
    return runs;
}

int number(std::string_view digits) {
    constexpr std::size_t kLongest = 8;
    int value = 0;
    for (const char c : digits.substr(0, kLongest)) {
        value = 10 * value + (c - '0');
    }
    return value;
}

bool is_year(int value) {
    return value >= 1800 && value < 2200;
}
bool is_month(int value) {
    return value >= 1 && value <= 12;
}
bool is_day(int value) {
    return value >= 1 && value <= 31;
}

// The number of a short run of digits that stands `ahead` of run `i`, each joined to the one before; 0 where none does.
int joined_number(const std::vector<Run>& runs, std::size_t i, std::size_t ahead) {
    for (std::size_t k = i + 1; k <= i + ahead; ++k) {
        if (k >= runs.size() || !runs[k].joined || !runs[k].digits || runs[k].text.size() > 2) {
            return 0;
        }
    }
    return number(runs[i + ahead].text);
}
// The same before it; both digits written.
int number_before(const std::vector<Run>& runs, std::size_t i, std::size_t back) {
    for (std::size_t k = 0; k < back; ++k) {
        if (i < k + 1 || !runs[i - k].joined || !runs[i - k - 1].digits || runs[i - k - 1].text.size() != 2) {
            return 0;
        }
    }
    return number(runs[i - back].text);
}

void read_year(const std::vector<Run>& runs, std::size_t i, std::set<NameDate>& dates) {
    const int year = number(runs[i].text);
    const int month = joined_number(runs, i, 1);
    const int day = joined_number(runs, i, 2);
    if (is_month(month)) {
        dates.insert({year, month, is_day(day) ? day : 0});
        return;
    }
    const int near = number_before(runs, i, 1);
    const int far = number_before(runs, i, 2);
    if (is_day(near) && is_day(far) && (is_month(near) || is_month(far))) {
        if (is_month(near)) {
            dates.insert({year, near, far});
        }
        if (is_month(far)) {
            dates.insert({year, far, near});
        }
    } else if (is_month(near)) {
        dates.insert({year, near, 0});
    } else {
        dates.insert({year, 0, 0});
    }
}

void read_digits(const std::vector<Run>& runs, std::size_t i, std::set<NameDate>& dates) {
    const std::string& text = runs[i].text;
    const int year = number(std::string_view(text).substr(0, 4));
    if (text.size() < 4 || !is_year(year)) {
        return;
    }
    if (text.size() == 4) {
        read_year(runs, i, dates);
    } else if (text.size() == 6 && is_month(number(text.substr(4)))) {
        dates.insert({year, number(text.substr(4)), 0});
    } else if (text.size() == 8 && is_month(number(text.substr(4, 2))) && is_day(number(text.substr(6)))) {
        dates.insert({year, number(text.substr(4, 2)), number(text.substr(6))});
    }
}

}  // namespace

std::vector<NameDate> dates_in_name(const std::string& name) {
    const std::vector<Run> runs = runs_of(name);
    std::set<NameDate> dates;
    std::set<int> months;  // by name
    for (std::size_t i = 0; i < runs.size(); ++i) {
        if (runs[i].digits) {
            read_digits(runs, i, dates);
        } else if (const auto month = month_named(runs[i].text)) {
            months.insert(*month);
        }
    }
    const bool years_only = std::all_of(dates.begin(), dates.end(), [](const NameDate& d) { return d.month == 0; });
    std::vector<NameDate> found;
    for (const NameDate& date : dates) {
        if (years_only && !months.empty()) {
            for (const int month : months) {
                found.push_back({date.year, month, 0});
            }
        } else if (years_only || date.month > 0) {
            found.push_back(date);
        }
    }
    return found;
}

std::string name_date_text(const NameDate& date) {
    const Date written{date.year, date.month, date.day};
    if (date.day > 0) {
        return to_text(written);
    }
    return date.month > 0 ? year_month_text(written) : fmt::format("{:04}", date.year);
}

std::optional<std::vector<int>> months_in_names(const std::vector<std::string>& names) {
    constexpr std::size_t kMonths = 12;
    std::vector<std::vector<Run>> runs;
    std::size_t fewest = names.empty() ? 0 : std::string::npos;
    for (const std::string& name : names) {
        runs.push_back(runs_of(name));
        fewest = std::min(fewest, runs.back().size());
    }
    std::set<std::vector<int>> readings;
    for (std::size_t place = 0; names.size() == kMonths && place < 2 * fewest; ++place) {
        std::vector<int> months;
        for (const std::vector<Run>& of_name : runs) {  // counted from the beginning, then from the end
            const Run& run = place < fewest ? of_name[place] : of_name[of_name.size() - 1 - (place - fewest)];
            months.push_back(run.digits && run.text.size() <= 2 ? number(run.text)
                                                                : (run.digits ? 0 : month_named(run.text).value_or(0)));
        }
        const std::set<int> each(months.begin(), months.end());
        if (each.size() == kMonths && *each.begin() == 1 && *each.rbegin() == 12) {
            readings.insert(months);
        }
    }
    if (readings.size() > 1) {
        return std::nullopt;
    }
    return readings.empty() ? std::vector<int>{} : *readings.begin();
}

}  // namespace eaveshed
