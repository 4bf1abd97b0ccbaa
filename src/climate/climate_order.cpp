// Which band is which month or step.
#include <algorithm>
#include <cmath>
#include <compare>
#include <cstdint>
#include <filesystem>
#include <map>
#include <utility>

#include <fmt/format.h>

#include "eaveshed/climate/climate_stack.hpp"
#include "eaveshed/climate/name_dates.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr std::int64_t kMonthsOfYear = 12;

// A step's place on a line of days or months.
std::int64_t key_of(RainKind kind, Calendar calendar, Date date) {
    return kind == RainKind::daily ? day_number(calendar, date) : date.year * kMonthsOfYear + date.month - 1;
}

std::string step_text(RainKind kind, Calendar calendar, std::int64_t key) {
    if (kind == RainKind::daily) {
        return to_text(date_of(calendar, key));
    }
    return year_month_text({static_cast<int>(key / kMonthsOfYear), static_cast<int>(key % kMonthsOfYear) + 1});
}

std::string kind_text(RainKind kind) {
    return kind == RainKind::daily ? "day" : "month";
}

Error undated(const ClimateStack& stack) {
    return input_error(stack.where,
                       stack.undated_because.empty() ? "bands that say nothing of their dates" : stack.undated_because,
                       "the date of each band: a time axis in days or hours since a date, band descriptions YYYY-MM or "
                       "YYYY-MM-DD, or the date in the name of each of several files",
                       "set rain.start to the date of the first step, for example \"1991-10-01\"");
}

Date start_date(const ClimateStack& stack, const std::string& start) {
    const auto date = date_from_text(start, stack.calendar.calendar);
    if (!date) {
        throw input_error("rain.start", fmt::format("\"{}\"", start), "a date of the record's calendar",
                          "for example \"1991-10-01\"");
    }
    return *date;
}

// A band's step and when in it.
struct KeyedBand {
    std::int64_t key = 0;
    double moment = 0.0;
    std::size_t band = 0;
    friend auto operator<=>(const KeyedBand&, const KeyedBand&) = default;
};

// Bands sorted by step and moment.
std::vector<KeyedBand> keyed_bands(const ClimateStack& stack, RainKind kind, Findings& findings) {
    std::vector<KeyedBand> keyed;
    for (std::size_t i = 0; i < stack.bands.size(); ++i) {
        const StackBand& band = stack.bands[i];
        if (!band.date) {
            throw input_error(band_text(stack, i), "no date, where other bands have one", "a date of every band",
                              "complete the dates, or remove them all and set rain.start");
        }
        const Calendar calendar = stack.calendar.calendar;
        const double moment = band.moment.value_or(static_cast<double>(day_number(calendar, *band.date)));
        keyed.push_back({key_of(kind, calendar, *band.date), moment, i});
    }
    if (!std::is_sorted(keyed.begin(), keyed.end())) {
        findings.note({stack.where, "bands that are not in the order of time; they are sorted", "", ""});
        std::sort(keyed.begin(), keyed.end());
    }
    return keyed;
}

bool share_steps(const std::vector<KeyedBand>& keyed) {
    return std::adjacent_find(keyed.begin(), keyed.end(),
                              [](const KeyedBand& a, const KeyedBand& b) { return a.key == b.key; }) != keyed.end();
}

[[noreturn]] void refuse_shared_step(const ClimateStack& stack, RainKind kind, const KeyedBand& one,
                                     const KeyedBand& other) {
    throw input_error(stack.where,
                      fmt::format("two bands for the {} {}: {} and {}", kind_text(kind),
                                  step_text(kind, stack.calendar.calendar, one.key), band_text(stack, one.band),
                                  band_text(stack, other.band)),
                      fmt::format("one band a {}", kind_text(kind)),
                      kind == RainKind::daily ? "name each file once, and take double steps out"
                                              : "set rain.kind = \"daily\" if the steps are days or shorter, else name "
                                                "each file once");
}

// How many steps of one length make a day: 8 where they are three hours apart. Throws where they are no even part of
// it.
int steps_a_day(const ClimateStack& stack, const std::vector<KeyedBand>& keyed, Findings& findings) {
    constexpr double kHours = 24.0;
    constexpr double kMostSteps = 1440.0;    // one a minute
    constexpr double kClose = 1.0 / 1440.0;  // days
    std::vector<double> gaps;
    for (std::size_t i = 1; i < keyed.size(); ++i) {
        gaps.push_back(keyed[i].moment - keyed[i - 1].moment);
    }
    std::vector<double> sorted = gaps;
    std::nth_element(sorted.begin(), sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 2), sorted.end());
    const double usual = sorted[sorted.size() / 2];
    const double count = std::clamp(std::round(1.0 / std::max(usual, 1.0 / kMostSteps)), 1.0, kMostSteps);
    for (std::size_t i = 0; i < gaps.size(); ++i) {
        const double steps = gaps[i] * count;
        if (steps < 0.5 && keyed[i].key == keyed[i + 1].key) {
            refuse_shared_step(stack, RainKind::daily, keyed[i], keyed[i + 1]);
        }
        if (std::abs(steps - std::round(steps)) > count * kClose) {
            throw input_error(
                stack.where,
                fmt::format("steps of {:.4g} h and one of {:.4g} h before {}", kHours * usual, kHours * gaps[i],
                            step_text(RainKind::daily, stack.calendar.calendar, keyed[i + 1].key)),
                "steps of one length that make up a day", "sum them to days first: cdo daysum IN.nc OUT.nc");
        }
    }
    findings.note({stack.where, fmt::format("steps of {:.4g} h, summed to days of the file's own time", kHours / count),
                   "",
                   stack.bounded ? "each belongs to the day in which its middle lies"
                                 : "without bounds each belongs to the day of its time stamp"});
    return static_cast<int>(count);
}

// Steps to which bands are wanting.
void report_holes(const ClimateStack& stack, RainKind kind, const StackSeries& series, std::int64_t first_key,
                  const MonthSet& fill_months, Findings& findings) {
    std::vector<bool> whole(series.plan.steps, false);
    for (const BandOfStep& entry : series.plan.bands) {
        whole[entry.step] = true;
    }
    std::vector<std::string> holes;
    std::vector<std::string> in_fill;
    for (std::size_t step = 0; step < whole.size(); ++step) {
        if (whole[step]) {
            continue;
        }
        const std::int64_t key = first_key + static_cast<std::int64_t>(step);
        const Calendar calendar = stack.calendar.calendar;
        holes.push_back(step_text(kind, calendar, key));
        const int month =
            kind == RainKind::daily ? date_of(calendar, key).month : static_cast<int>(key % kMonthsOfYear) + 1;
        if (fill_months.has(month)) {
            in_fill.push_back(holes.back());
        }
    }
    if (holes.empty()) {
        return;
    }
    constexpr std::size_t kShown = 6;
    const std::string part = series.plan.per_step > 1 ? "all their bands" : "a band";
    findings.warn({stack.where,
                   fmt::format("{} of {} {}s without {}: {}{}", holes.size(), series.plan.steps, kind_text(kind), part,
                               listed(holes, kShown),
                               in_fill.empty() ? "" : fmt::format("; in the fill months: {}", listed(in_fill, kShown))),
                   fmt::format("{} for every {}", part, kind_text(kind)),
                   "complete the record; until then they count as missing, which is dry, and a year that misses over 5 "
                   "% of its days counts nowhere"});
}

// Twelve bands of files without any word of months: by the files' names, or as they come.
std::array<std::size_t, 12> months_by_names(const ClimateStack& stack, Findings& findings) {
    std::array<std::size_t, 12> order{};
    std::vector<std::string> names;
    for (std::size_t i = 0; i < order.size(); ++i) {
        order.at(i) = i;
        names.push_back(std::filesystem::path(stack.files[stack.bands[i].file].path).stem().string());
    }
    const bool a_file_each = stack.files.size() == order.size();
    const auto months = a_file_each ? months_in_names(names) : std::vector<int>{};
    if (!months) {
        throw input_error(stack.where, fmt::format("names that give two orders of the months: {}", listed(names, 3)),
                          "one number from 1 to 12 in which they differ",
                          "rename the files, or give their bands the descriptions Jan to Dec");
    }
    if (months->empty()) {
        findings.note({stack.where, "bands that name no months; the first is taken for January", "", ""});
        return order;
    }
    for (std::size_t i = 0; i < order.size(); ++i) {
        order.at(static_cast<std::size_t>((*months)[i] - 1)) = i;
    }
    findings.note({stack.where,
                   fmt::format("months by the names of the files: {} is January", printable(names[order[0]])), "", ""});
    return order;
}

}  // namespace

std::array<std::size_t, 12> bands_by_month(const ClimateStack& stack, Findings& findings) {
    if (stack.bands.size() != static_cast<std::size_t>(kMonthsOfYear)) {
        throw input_error(stack.where, fmt::format("{} bands", stack.bands.size()), "twelve, one for each month",
                          stack.setting == "rain.source" ? "set rain.kind to monthly or daily if this is a series"
                                                         : "average a series to twelve months first");
    }
    std::vector<int> months;
    for (const StackBand& band : stack.bands) {
        if (band.date || band.month) {
            months.push_back(band.date ? band.date->month : *band.month);
        }
    }
    if (months.empty()) {
        return months_by_names(stack, findings);
    }
    std::array<std::size_t, 12> order{};
    std::vector<int> sorted = months;
    std::sort(sorted.begin(), sorted.end());
    sorted.erase(std::unique(sorted.begin(), sorted.end()), sorted.end());
    if (sorted.size() != order.size()) {
        throw input_error(stack.where, fmt::format("dates or names for {} different months", sorted.size()),
                          "each month once", "correct or remove the bands' dates; without any, January comes first");
    }
    for (std::size_t i = 0; i < order.size(); ++i) {
        order.at(static_cast<std::size_t>(months[i] - 1)) = i;
    }
    return order;
}

namespace {

// The date of each of a file's bands by the file's name; empty where name and number of bands do not go together.
std::vector<Date> dates_of_file(const NameDate& name, RainKind kind, Calendar calendar, std::size_t bands) {
    const bool daily = kind == RainKind::daily;
    const int first_month = std::max(1, name.month);
    const Date first{name.year, first_month, std::max(1, name.day)};
    if (first.day > days_in_month(calendar, first.year, first.month)) {
        return {};
    }
    const auto count = static_cast<std::int64_t>(bands);
    const bool whole = (daily ? name.day : name.month) > 0;
    const std::int64_t of_year = day_number(calendar, {name.year + 1, 1, 1}) - day_number(calendar, {name.year, 1, 1});
    const bool a_month_of_days =
        daily && name.day == 0 && name.month > 0 && count == days_in_month(calendar, name.year, name.month);
    const bool a_year = name.month == 0 && count == (daily ? of_year : kMonthsOfYear);
    if (!a_month_of_days && !a_year && !(whole && count == 1)) {
        return {};
    }
    std::vector<Date> dates;
    for (std::int64_t i = 0; i < count; ++i) {
        dates.push_back(daily ? date_of(calendar, day_number(calendar, first) + i)
                              : Date{first.year, first.month + static_cast<int>(i), 1});
    }
    return dates;
}

// What each file's name says, without what all of them say.
std::vector<std::vector<NameDate>> dates_of_names(const ClimateStack& stack) {
    std::vector<std::vector<NameDate>> of_files;
    std::map<NameDate, std::size_t> seen;
    for (const StackFile& file : stack.files) {
        of_files.push_back(dates_in_name(std::filesystem::path(file.path).stem().string()));
        for (const NameDate& date : of_files.back()) {
            ++seen[date];
        }
    }
    for (std::vector<NameDate>& dates : of_files) {
        std::erase_if(dates, [&](const NameDate& date) { return seen[date] == of_files.size(); });
    }
    return of_files;
}

}  // namespace

void date_by_names(ClimateStack& stack, RainKind kind, const std::string& start, Findings& findings) {
    const bool dated = std::any_of(stack.bands.begin(), stack.bands.end(),
                                   [](const StackBand& band) { return band.date.has_value(); });
    if (dated || stack.files.size() < 2) {
        return;
    }
    const auto of_files = dates_of_names(stack);
    std::vector<Date> dates;
    for (std::size_t file = 0; file < of_files.size(); ++file) {
        const std::string name = printable(std::filesystem::path(stack.files[file].path).filename().string());
        const std::size_t bands = stack.files[file].rules.size();
        std::vector<std::string> texts;
        std::vector<Date> found;
        for (const NameDate& date : of_files[file]) {
            const auto more = dates_of_file(date, kind, stack.calendar.calendar, bands);
            if (!more.empty()) {
                texts.push_back(name_date_text(date));
                found = more;
            }
        }
        if (texts.size() > 1 && start.empty()) {
            throw input_error(stack.where,
                              fmt::format("the name {}, in which several dates can be read: {}", name, listed(texts)),
                              "one date in each name, such as 1990-03 or 19900314",
                              "rename the files, or list them in the order of time and set rain.start");
        }
        if (texts.size() != 1) {
            stack.undated_because = fmt::format("bands without dates, and no date for {} in the name {}",
                                                bands == 1 ? "its band" : fmt::format("its {} bands", bands), name);
            return;
        }
        dates.insert(dates.end(), found.begin(), found.end());
    }
    for (std::size_t i = 0; i < stack.bands.size(); ++i) {
        stack.bands[i].date = dates[i];
    }
    findings.note({stack.where,
                   fmt::format("dates by the names of the files: {} begins {}",
                               printable(std::filesystem::path(stack.files.front().path).filename().string()),
                               year_month_text(dates.front())),
                   "", ""});
}

namespace {

StackSeries series_from_start(const ClimateStack& stack, const std::string& start) {
    if (start.empty()) {
        throw undated(stack);
    }
    StackSeries series;
    series.first = start_date(stack, start);
    series.plan.steps = stack.bands.size();
    for (std::size_t i = 0; i < stack.bands.size(); ++i) {
        series.plan.bands.push_back({i, i});
    }
    return series;
}

// The midnight between two months belongs to either.
void tell_month_stamps(const ClimateStack& stack, RainKind kind, const std::vector<KeyedBand>& keyed,
                       Findings& findings) {
    const bool at_midnight = std::all_of(keyed.begin(), keyed.end(), [&](const KeyedBand& entry) {
        const StackBand& band = stack.bands[entry.band];
        return band.moment && band.date->day == 1 && *band.moment == std::floor(*band.moment);
    });
    if (kind == RainKind::monthly && !stack.bounded && at_midnight) {
        findings.note({stack.where, "time stamps on the first of a month and no bounds; the month that begins is taken",
                       "", "if they mark the end of a month: cdo shifttime,-1day IN.nc OUT.nc"});
    }
}

// Entries of the steps that have all their bands.
StepPlan plan_of(const std::vector<KeyedBand>& keyed, std::size_t steps, int per_step) {
    StepPlan plan{steps, per_step, {}};
    for (std::size_t begin = 0; begin < keyed.size();) {
        std::size_t end = begin;
        while (end < keyed.size() && keyed[end].key == keyed[begin].key) {
            ++end;
        }
        for (std::size_t i = begin; i < end && end - begin == static_cast<std::size_t>(per_step); ++i) {
            plan.bands.push_back({keyed[i].band, static_cast<std::size_t>(keyed[i].key - keyed.front().key)});
        }
        begin = end;
    }
    return plan;
}

}  // namespace

StackSeries bands_by_date(const ClimateStack& stack, RainKind kind, const std::string& start,
                          const MonthSet& fill_months, Findings& findings) {
    const bool dated = std::any_of(stack.bands.begin(), stack.bands.end(),
                                   [](const StackBand& band) { return band.date.has_value(); });
    if (!dated) {
        return series_from_start(stack, start);
    }
    const auto keyed = keyed_bands(stack, kind, findings);
    StackSeries series;
    series.first = *stack.bands[keyed.front().band].date;
    const std::int64_t first_key = keyed.front().key;
    if (!start.empty() && key_of(kind, stack.calendar.calendar, start_date(stack, start)) != first_key) {
        throw input_error(stack.where,
                          fmt::format("the first step {} in the file, and rain.start = \"{}\"",
                                      step_text(kind, stack.calendar.calendar, first_key), start),
                          "one of them", "leave rain.start out if the file is right; else correct the file");
    }
    tell_month_stamps(stack, kind, keyed, findings);
    int per_step = 1;
    if (share_steps(keyed)) {
        const auto shared = std::adjacent_find(keyed.begin(), keyed.end(),
                                               [](const KeyedBand& a, const KeyedBand& b) { return a.key == b.key; });
        if (kind != RainKind::daily) {
            refuse_shared_step(stack, kind, *shared, *(shared + 1));
        }
        per_step = steps_a_day(stack, keyed, findings);
    }
    const std::int64_t steps = keyed.back().key - first_key + 1;
    if (steps * per_step > 2 * static_cast<std::int64_t>(keyed.size())) {
        throw input_error(stack.where,
                          fmt::format("{} bands for {} {}s from {} to {}", keyed.size(), steps, kind_text(kind),
                                      step_text(kind, stack.calendar.calendar, first_key),
                                      step_text(kind, stack.calendar.calendar, keyed.back().key)),
                          fmt::format("a band for every {}", kind_text(kind)),
                          kind == RainKind::daily ? "set rain.kind = \"monthly\" if the steps are months"
                                                  : "complete the series, or name a part without large gaps");
    }
    series.plan = plan_of(keyed, static_cast<std::size_t>(steps), per_step);
    report_holes(stack, kind, series, first_key, fill_months, findings);
    return series;
}

}  // namespace eaveshed
