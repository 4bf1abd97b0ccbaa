#include "eaveshed/gauges/gauge_series.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>
#include <map>
#include <optional>
#include <set>
#include <tuple>
#include <utility>

#include <fmt/format.h>

#include "eaveshed/climate/rain_rules.hpp"
#include "eaveshed/core/calendar.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/core/raster.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

constexpr int kYearMonths = 12;
constexpr std::size_t kMostValues = std::size_t{1} << 27;  // a GiB of numbers

bool in_days(const GaugeRow& row) {
    return row.date.day.has_value();
}

std::string date_of(const GaugeRow& row) {
    const Date date{row.date.year, row.date.month, row.date.day.value_or(1)};
    return row.date.day ? to_text(date) : year_month_text(date);
}

using Day = std::pair<int, int>;  // month, day

// The leap days that a record passes over: 28 February and 1 March are there.
std::size_t leap_days_left_out(const GaugeRows& rows) {
    std::set<int> before;
    std::set<int> after;
    for (const GaugeRow& row : rows.rows) {
        const Day day(row.date.month, row.date.day.value_or(0));
        if (day == Day(2, 28)) {
            before.insert(row.date.year);
        } else if (day == Day(3, 1)) {
            after.insert(row.date.year);
        }
    }
    return static_cast<std::size_t>(std::ranges::count_if(
        before, [&](int year) { return days_in_month(Calendar::standard, year, 2) == 29 && after.contains(year); }));
}

bool has_day(const GaugeRows& rows, Day wanted) {
    return std::ranges::any_of(
        rows.rows, [&](const GaugeRow& row) { return Day(row.date.month, row.date.day.value_or(0)) == wanted; });
}

Calendar calendar_of(const GaugeRows& rows, const std::string& setting, Findings& findings) {
    if (const auto named = calendar_from_text(setting)) {
        return *named;
    }
    if (has_day(rows, {2, 30})) {
        findings.note({rows.where, "a 30 February", "", "taken for a calendar of 360 days (360_day)"});
        return Calendar::days_360;
    }
    constexpr std::size_t kEnough = 2;
    if (const std::size_t left_out = leap_days_left_out(rows); left_out >= kEnough && !has_day(rows, {2, 29})) {
        findings.note({rows.where, fmt::format("no 29 February in any of {}", counted(left_out, "leap year")), "",
                       "taken for a calendar without leap days (noleap): set rain.calendar = \"standard\" if they are "
                       "missing days"});
        return Calendar::noleap;
    }
    return Calendar::standard;
}

// Which step a row belongs to, counted from a fixed day or month.
class StepCount {
public:
    StepCount(const GaugeRows& rows, RainKind kind, Calendar calendar)
        : m_rows(rows), m_kind(kind), m_calendar(calendar) {}

    [[nodiscard]] std::int64_t operator()(const GaugeRow& row) const {
        if (m_kind != RainKind::daily) {
            return std::int64_t{row.date.year} * kYearMonths + row.date.month - 1;
        }
        const int day = row.date.day.value();
        if (day > days_in_month(m_calendar, row.date.year, row.date.month)) {
            throw input_error(m_rows.at(row.line), date_of(row),
                              fmt::format("a date of the {} calendar", to_text(m_calendar)),
                              "correct it, or set rain.calendar");
        }
        return day_number(m_calendar, {row.date.year, row.date.month, day});
    }
    [[nodiscard]] Date date(std::int64_t step) const {
        return m_kind == RainKind::daily
                   ? eaveshed::date_of(m_calendar, step)
                   : Date{static_cast<int>(step / kYearMonths), static_cast<int>(step % kYearMonths) + 1, 1};
    }

private:
    const GaugeRows& m_rows;
    RainKind m_kind;
    Calendar m_calendar;
};

// Whether most lines stand beside another one of their station and month.
bool several_in_a_month(const GaugeRows& rows) {
    std::set<std::pair<std::uint32_t, int>> months;
    for (const GaugeRow& row : rows.rows) {
        months.emplace(row.station, row.date.year * kYearMonths + row.date.month);
    }
    return months.size() * 2 < rows.rows.size();
}

// Days where months are wanted, and months where days are.
void require_kind(const GaugeRows& rows, RainKind kind) {
    const bool days = std::ranges::any_of(rows.rows, in_days) && several_in_a_month(rows);
    const std::string lines = fmt::format("{} of {}", counted(rows.rows.size(), "line"), days ? "days" : "months");
    if (kind == RainKind::daily && !std::ranges::all_of(rows.rows, in_days)) {
        const auto row = std::ranges::find_if_not(rows.rows, in_days);
        throw input_error(rows.at(row->line), date_of(*row) + " without a day", "a date for each day",
                          "set rain.kind = \"monthly\" if these are months");
    }
    constexpr std::size_t kSome = 2;
    if (kind == RainKind::daily && !days && rows.rows.size() > kSome) {
        throw input_error(rows.where, lines, "a line for each day", "set rain.kind = \"monthly\"");
    }
    if (kind != RainKind::daily && days) {
        throw input_error(rows.where, lines,
                          kind == RainKind::monthly ? "a line for each month" : "twelve lines, one for each month",
                          "set rain.kind = \"daily\"");
    }
    const auto per_station = std::ranges::count(rows.rows, rows.rows.front().station, &GaugeRow::station);
    if (kind == RainKind::monthly_normals && per_station > kYearMonths) {
        throw input_error(rows.where, lines, "twelve lines, one for each month", "set rain.kind = \"monthly\"");
    }
}

// A date twice, for one station or in a form with a column for each.
void throw_twice(const GaugeRows& rows, const GaugeRow& row, std::uint32_t station, std::size_t first_line) {
    throw input_error(
        rows.at(row.line),
        fmt::format("{} a second time{}; it stands in line {}", date_of(row),
                    row.station == kEveryStation ? std::string()
                                                 : fmt::format(" for station '{}'", printable(rows.ids[station])),
                    first_line),
        "each date once", "take one of them out; hours have to be added up to days first");
}

void require_each_once(const GaugeRows& rows) {
    std::map<std::tuple<std::uint32_t, int, int, int>, std::size_t> lines;
    for (const GaugeRow& row : rows.rows) {
        const auto [found, is_new] =
            lines.emplace(std::tuple(row.station, row.date.year, row.date.month, row.date.day.value_or(0)), row.line);
        if (!is_new) {
            throw_twice(rows, row, row.station, found->second);
        }
    }
}

// The lines that values came from, by station and step, so that a second one can name the first.
class Placed {
public:
    Placed(const GaugeRows& rows, std::size_t steps)
        : m_rows(rows), m_lines(rows.width() == 1 ? rows.ids.size() * steps : steps), m_steps(steps) {}

    void put(const GaugeRow& row, std::size_t step) {
        const std::uint32_t station = row.station == kEveryStation ? 0U : row.station;
        std::size_t& line = m_lines[station * m_steps + step];
        if (line != 0) {
            throw_twice(m_rows, row, station, line);
        }
        line = row.line;
    }

private:
    const GaugeRows& m_rows;
    std::vector<std::size_t> m_lines;
    std::size_t m_steps;
};

void place_values(const GaugeRows& rows, GaugeSeries& series, const std::vector<std::size_t>& step_of_row) {
    const std::size_t steps = series.timeline.steps.size();
    series.values.assign(rows.ids.size(), std::vector<double>(steps, kMissing));
    Placed placed(rows, steps);
    const std::size_t width = rows.width();
    for (std::size_t i = 0; i < rows.rows.size(); ++i) {
        const GaugeRow& row = rows.rows[i];
        const std::uint32_t first = row.station == kEveryStation ? 0U : row.station;
        placed.put(row, step_of_row[i]);
        for (std::size_t k = 0; k < width; ++k) {
            const auto station = static_cast<std::uint32_t>(first + k);
            series.values[station][step_of_row[i]] = rows.values[i * width + k];
        }
    }
}

// Each station has each month, though it may be empty.
void require_twelve(const GaugeRows& rows) {
    std::set<std::pair<std::uint32_t, int>> months;
    std::set<std::uint32_t> stations;
    for (const GaugeRow& row : rows.rows) {
        months.emplace(row.station, row.date.month);
        stations.insert(row.station);
    }
    for (const std::uint32_t station : stations) {
        for (int month = 1; month <= kYearMonths; ++month) {
            if (!months.contains({station, month})) {
                throw input_error(rows.where,
                                  fmt::format("no line for month {}{}", month,
                                              station == kEveryStation
                                                  ? std::string()
                                                  : fmt::format(" of station '{}'", printable(rows.ids[station]))),
                                  "twelve lines, one for each month", "add it; its value may be empty");
            }
        }
    }
}

GaugeSeries mean_year(const GaugeRows& rows, const Season& season) {
    require_twelve(rows);
    GaugeSeries series{make_normals_timeline(season), {}};
    std::vector<std::size_t> step_of_row;
    for (const GaugeRow& row : rows.rows) {
        const auto& steps = series.timeline.steps;
        const auto step = std::ranges::find(steps, row.date.month, [](const Step& at) { return int{at.month}; });
        step_of_row.push_back(static_cast<std::size_t>(step - steps.begin()));
    }
    place_values(rows, series, step_of_row);
    return series;
}

struct Reach {
    std::int64_t first = std::numeric_limits<std::int64_t>::max();
    std::int64_t last = std::numeric_limits<std::int64_t>::min();
    [[nodiscard]] std::size_t steps() const { return static_cast<std::size_t>(last - first) + 1; }
};

void require_room(const GaugeRows& rows, const Reach& reach, const StepCount& count) {
    if (reach.steps() > kMostValues / rows.ids.size()) {
        throw input_error(
            rows.where,
            fmt::format("{} from {} to {}", counted(rows.ids.size(), "station"),
                        year_month_text(count.date(reach.first)), year_month_text(count.date(reach.last))),
            "stations and years that fit into memory",
            "keep only the stations around the basin, and look for a wrong year");
    }
}

}  // namespace

GaugeSeries series_in_steps(const GaugeRows& rows, RainKind kind, const std::string& calendar, const Season& season,
                            Findings& findings) {
    require_kind(rows, kind);
    if (kind == RainKind::monthly_normals) {
        return mean_year(rows, season);
    }
    const Calendar named = kind == RainKind::daily ? calendar_of(rows, calendar, findings)
                                                   : calendar_from_text(calendar).value_or(Calendar::standard);
    const StepCount count(rows, kind, named);
    std::vector<std::int64_t> at;
    at.reserve(rows.rows.size());
    Reach reach;
    for (const GaugeRow& row : rows.rows) {
        at.push_back(count(row));
        reach.first = std::min(reach.first, at.back());
        reach.last = std::max(reach.last, at.back());
    }
    require_room(rows, reach, count);
    GaugeSeries series{make_series_timeline(kind, named, count.date(reach.first), reach.steps(), season), {}};
    require_tank_year(rows.where, series.timeline, season);
    std::vector<std::size_t> step_of_row;
    step_of_row.reserve(at.size());
    for (const std::int64_t step : at) {
        step_of_row.push_back(static_cast<std::size_t>(step - reach.first));
    }
    place_values(rows, series, step_of_row);
    return series;
}

std::vector<MonthMeans> month_means(const GaugeRows& rows) {
    require_each_once(rows);
    std::vector<MonthMeans> sums(rows.ids.size(), MonthMeans{});
    std::vector<MonthMeans> counts = sums;
    const std::size_t width = rows.width();
    for (std::size_t i = 0; i < rows.values.size(); ++i) {
        const GaugeRow& row = rows.rows[i / width];
        const std::size_t station = row.station == kEveryStation ? i % width : row.station;
        const auto month = static_cast<std::size_t>(row.date.month - 1);
        if (!std::isnan(rows.values[i])) {
            sums[station].at(month) += rows.values[i];
            counts[station].at(month) += 1.0;
        }
    }
    for (std::size_t station = 0; station < sums.size(); ++station) {
        for (std::size_t month = 0; month < sums[station].size(); ++month) {
            double& mean = sums[station].at(month);
            const double count = counts[station].at(month);
            mean = count > 0.0 ? mean / count : kMissing;
        }
    }
    return sums;
}

}  // namespace eaveshed
