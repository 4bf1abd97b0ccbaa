#include "eaveshed/core/timeline.hpp"

#include "eaveshed/core/error.hpp"

namespace eaveshed {

namespace {

TankYear measure(const Timeline& timeline, const Season& season, int name, std::size_t begin, std::size_t end) {
    TankYear year{.name = name, .begin = begin, .first_forbear = end, .end = end, .days = 0, .forbear_days = 0};
    for (std::size_t i = begin; i < end; ++i) {
        const Step& step = timeline.steps[i];
        year.days += step.days;
        if (season.forbear.has(step.month)) {
            year.forbear_days += step.days;
            if (year.first_forbear == end) {
                year.first_forbear = i;
            }
        }
    }
    return year;
}

// A tank year is complete when it begins on its first day and the next one's first day, or the end of the record after
// its last day, follows.
void find_years(Timeline& timeline, const Season& season, Date end_date, const std::vector<Date>& dates) {
    const auto starts_year = [&](const Date& date) { return date.month == season.first_month && date.day == 1; };
    std::vector<std::size_t> starts;
    for (std::size_t i = 0; i < dates.size(); ++i) {
        if (starts_year(dates[i])) {
            starts.push_back(i);
        }
    }
    const bool ends_whole = starts_year(end_date);
    if (starts.empty() || starts.front() > 0) {
        ++timeline.partial_years;
    }
    for (std::size_t i = 0; i < starts.size(); ++i) {
        const bool last = i + 1 == starts.size();
        if (last && !ends_whole) {
            ++timeline.partial_years;
            break;
        }
        const std::size_t end = last ? dates.size() : starts[i + 1];
        const int name = dates[end - 1].year;
        timeline.years.push_back(measure(timeline, season, name, starts[i], end));
    }
}

}  // namespace

Timeline make_series_timeline(RainKind kind, Calendar calendar, Date first, std::size_t step_count,
                              const Season& season) {
    if (kind == RainKind::monthly_normals) {
        internal_error("a series timeline of monthly normals");
    }
    Timeline timeline{.kind = kind, .calendar = calendar, .first = first, .steps = {}, .years = {}, .partial_years = 0};
    timeline.steps.reserve(step_count);
    std::vector<Date> dates;
    dates.reserve(step_count);
    Date date = kind == RainKind::monthly ? Date{first.year, first.month, 1} : first;
    for (std::size_t i = 0; i < step_count; ++i) {
        const int month_days = days_in_month(calendar, date.year, date.month);
        dates.push_back(date);
        timeline.steps.push_back({static_cast<std::int8_t>(date.month),
                                  static_cast<std::int8_t>(kind == RainKind::monthly ? month_days : 1)});
        if (kind == RainKind::daily && date.day < month_days) {
            ++date.day;
            continue;
        }
        date.day = 1;
        date.year += date.month == 12 ? 1 : 0;
        date.month = next_month(date.month);
    }
    find_years(timeline, season, date, dates);
    return timeline;
}

Timeline make_normals_timeline(const Season& season) {
    Timeline timeline{.kind = RainKind::monthly_normals,
                      .calendar = Calendar::noleap,
                      .first = {0, season.first_month, 1},
                      .steps = {},
                      .years = {},
                      .partial_years = 0};
    for (int i = 0, month = season.first_month; i < 12; ++i, month = next_month(month)) {
        timeline.steps.push_back({static_cast<std::int8_t>(month), static_cast<std::int8_t>(mean_year_days(month))});
    }
    timeline.years.push_back(measure(timeline, season, 0, 0, timeline.steps.size()));
    return timeline;
}

Date first_day(const Timeline& series, std::size_t step) {
    const auto steps = static_cast<std::int64_t>(step);
    if (series.kind == RainKind::daily) {
        return date_of(series.calendar, day_number(series.calendar, series.first) + steps);
    }
    constexpr int kMonths = 12;
    const int month = series.first.year * kMonths + series.first.month - 1 + static_cast<int>(steps);
    return {month / kMonths, month % kMonths + 1, 1};
}

Date last_day(const Timeline& series) {
    const Date next = first_day(series, series.steps.size());
    return date_of(series.calendar, day_number(series.calendar, next) - 1);
}

}  // namespace eaveshed
