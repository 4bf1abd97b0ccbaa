// Which band is which month or step.
#include <algorithm>
#include <cstdint>
#include <utility>

#include <fmt/format.h>

#include "eaveshed/climate/climate_stack.hpp"
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
        const Date date = date_of(calendar, key);
        return fmt::format("{:04}-{:02}-{:02}", date.year, date.month, date.day);
    }
    return fmt::format("{:04}-{:02}", key / kMonthsOfYear, key % kMonthsOfYear + 1);
}

std::string kind_text(RainKind kind) {
    return kind == RainKind::daily ? "day" : "month";
}

Error undated(const ClimateStack& stack) {
    return input_error(stack.where,
                       stack.undated_because.empty() ? "bands that say nothing of their dates" : stack.undated_because,
                       "the date of each band: a time axis in days or hours since a date, or band descriptions "
                       "YYYY-MM or YYYY-MM-DD",
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

// Bands sorted by step; a step has one band.
std::vector<std::pair<std::int64_t, std::size_t>> keyed_bands(const ClimateStack& stack, RainKind kind,
                                                              Findings& findings) {
    std::vector<std::pair<std::int64_t, std::size_t>> keyed;
    for (std::size_t i = 0; i < stack.bands.size(); ++i) {
        if (!stack.bands[i].date) {
            throw input_error(band_text(stack, i), "no date, where other bands have one", "a date of every band",
                              "complete the dates, or remove them all and set rain.start");
        }
        keyed.emplace_back(key_of(kind, stack.calendar.calendar, *stack.bands[i].date), i);
    }
    if (!std::is_sorted(keyed.begin(), keyed.end())) {
        findings.note({stack.where, "bands that are not in the order of time; they are sorted", "", ""});
        std::sort(keyed.begin(), keyed.end());
    }
    for (std::size_t i = 1; i < keyed.size(); ++i) {
        if (keyed[i].first == keyed[i - 1].first) {
            throw input_error(stack.where,
                              fmt::format("two bands for the {} {}", kind_text(kind),
                                          step_text(kind, stack.calendar.calendar, keyed[i].first)),
                              fmt::format("one band a {}", kind_text(kind)),
                              kind == RainKind::daily ? "sum shorter steps to days first, and name each file once"
                                                      : "set rain.kind = \"daily\" if the steps are days");
        }
    }
    return keyed;
}

void report_holes(const ClimateStack& stack, RainKind kind, const StackSeries& series, std::int64_t first_key,
                  Findings& findings) {
    const auto holes =
        static_cast<std::size_t>(std::count(series.band_of_step.begin(), series.band_of_step.end(), std::nullopt));
    if (holes == 0) {
        return;
    }
    const auto first_hole = std::find(series.band_of_step.begin(), series.band_of_step.end(), std::nullopt);
    const std::int64_t key = first_key + std::distance(series.band_of_step.begin(), first_hole);
    findings.warn({stack.where,
                   fmt::format("{} of {} steps without a band, the first {}", holes, series.band_of_step.size(),
                               step_text(kind, stack.calendar.calendar, key)),
                   fmt::format("a band for every {}", kind_text(kind)), "they count as missing"});
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
    std::array<std::size_t, 12> order{};
    if (months.empty()) {
        for (std::size_t i = 0; i < order.size(); ++i) {
            order.at(i) = i;
        }
        findings.note({stack.where, "bands that name no months; the first is taken for January", "", ""});
        return order;
    }
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

StackSeries bands_by_date(const ClimateStack& stack, RainKind kind, const std::string& start, Findings& findings) {
    const bool dated = std::any_of(stack.bands.begin(), stack.bands.end(),
                                   [](const StackBand& band) { return band.date.has_value(); });
    StackSeries series;
    if (!dated) {
        if (start.empty()) {
            throw undated(stack);
        }
        series.first = start_date(stack, start);
        for (std::size_t i = 0; i < stack.bands.size(); ++i) {
            series.band_of_step.emplace_back(i);
        }
        return series;
    }
    const auto keyed = keyed_bands(stack, kind, findings);
    series.first = *stack.bands[keyed.front().second].date;
    const std::int64_t first_key = keyed.front().first;
    if (!start.empty() && key_of(kind, stack.calendar.calendar, start_date(stack, start)) != first_key) {
        throw input_error(stack.where,
                          fmt::format("the first step {} in the file, and rain.start = \"{}\"",
                                      step_text(kind, stack.calendar.calendar, first_key), start),
                          "one of them", "leave rain.start out if the file is right; else correct the file");
    }
    const std::int64_t steps = keyed.back().first - first_key + 1;
    if (steps > 2 * static_cast<std::int64_t>(keyed.size())) {
        throw input_error(stack.where,
                          fmt::format("{} bands for {} {}s from {} to {}", keyed.size(), steps, kind_text(kind),
                                      step_text(kind, stack.calendar.calendar, first_key),
                                      step_text(kind, stack.calendar.calendar, keyed.back().first)),
                          fmt::format("a band for every {}", kind_text(kind)),
                          kind == RainKind::daily ? "set rain.kind = \"monthly\" if the steps are months"
                                                  : "complete the series, or name a part without large gaps");
    }
    series.band_of_step.resize(static_cast<std::size_t>(steps));
    for (const auto& [key, band] : keyed) {
        series.band_of_step[static_cast<std::size_t>(key - first_key)] = band;
    }
    report_holes(stack, kind, series, first_key, findings);
    return series;
}

}  // namespace eaveshed
