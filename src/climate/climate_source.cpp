#include "eaveshed/climate/climate_source.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <span>

#include <fmt/format.h>

#include "eaveshed/climate/climate_stack.hpp"
#include "eaveshed/climate/cumulative.hpp"
#include "eaveshed/climate/rain_rules.hpp"
#include "eaveshed/core/error.hpp"
#include "eaveshed/words/unit_text.hpp"
#include "eaveshed/words/wording.hpp"

namespace eaveshed {

namespace {

ClimateStack open_rain_stack(const RainSettings& settings, Findings& findings) {
    ClimateStack stack = open_stack({.setting = "rain.source",
                                     .standard_names = rain_standard_names(),
                                     .calendar = settings.calendar,
                                     .section = "rain",
                                     .variable = settings.variable,
                                     .select = settings.select},
                                    settings.source, findings);
    const bool arrays = std::ranges::any_of(stack.files, [](const StackFile& file) { return file.array.has_value(); });
    if (!arrays && !(settings.variable.empty() && settings.select.empty())) {
        findings.warn({settings.variable.empty() ? "rain.select" : "rain.variable",
                       "a choice of variable or dimension for files that have none", "a netCDF file or Zarr store",
                       "leave it out"});
    }
    if (settings.kind != RainKind::monthly_normals) {
        date_by_names(stack, settings.kind, settings.start, findings);
    }
    return stack;
}

// Bands of the normals in the order of the tank year.
StepPlan normals_order(const ClimateStack& stack, const Timeline& timeline, Findings& findings) {
    const auto by_month = bands_by_month(stack, findings);
    StepPlan plan{timeline.steps.size(), 1, {}};
    for (std::size_t i = 0; i < timeline.steps.size(); ++i) {
        plan.bands.push_back({by_month.at(static_cast<std::size_t>(timeline.steps[i].month - 1)), i});
    }
    return plan;
}

// Rain as the store needs it: mm, none negative. Counts what it sees.
class RainConversion {
public:
    RainConversion(const ClimateStack& stack, const RainInfo& info, int per_step) : m_stack(stack) {
        for (const Step& step : info.timeline.steps) {
            m_factors.push_back(mm_per_value(info.unit, static_cast<double>(step.days) / per_step));
        }
    }

    double operator()(std::size_t step, double value, std::size_t band) {
        constexpr double kMostNegative = -0.05;  // mm: rounding of packed values
        const double mm = value * m_factors[step];
        if (mm >= 0.0) {
            return mm;
        }
        if (mm < kMostNegative) {
            throw input_error(band_text(m_stack, band), fmt::format("rain of {} ({} mm)", value, mm),
                              "rain of 0 or more",
                              "if it stands for missing, declare it: gdal_edit.py -a_nodata VALUE FILE");
        }
        ++m_tiny;
        return 0.0;
    }
    [[nodiscard]] std::size_t tiny() const { return m_tiny; }

private:
    const ClimateStack& m_stack;
    std::vector<double> m_factors;
    std::size_t m_tiny = 0;
};

// Values that go on adding up would count the same rain again in every step after it.
void refuse_sums(const RainData& rain, const DayTrend& within_days) {
    constexpr const char* kWanted = "the rain of each step alone";
    if (within_days.adding_up()) {
        throw input_error(rain.info.where,
                          "steps of a day whose values never fall, or at one hour only: they look like sums since the "
                          "start of each day",
                          kWanted,
                          "take differences first (cdo deltat IN.nc OUT.nc; the step after each new start keeps its "
                          "own value), or name the last value of each day alone");
    }
    SeriesTrend trend(rain.info.timeline);
    visit_series(rain.field, [&](std::span<const double> series) { trend.add(series); });
    if (const auto found = trend.adding_up()) {
        throw input_error(
            rain.info.where, *found, kWanted,
            "take differences first: cdo deltat IN.nc OUT.nc; the step after each new start keeps its own "
            "value");
    }
}

void warn_of_odd_totals(const RainData& rain, Findings& findings) {
    const RainInfo& info = rain.info;
    constexpr double kYearDays = 365.25;
    double most = 0.0;
    double sum = 0.0;
    double days = 0.0;
    visit_series(rain.field, [&](std::span<const double> series) {
        for (std::size_t step = 0; step < series.size(); ++step) {
            if (!std::isnan(series[step])) {
                most = std::max(most, series[step]);
                sum += series[step];
                days += info.timeline.steps[step].days;
            }
        }
    });
    if (days == 0.0) {
        findings.warn({info.where, "no value around the footprints: every cell is missing", "", "name another grid"});
        return;
    }
    warn_of_odd_rain({.where = info.where,
                      .unit = info.unit,
                      .daily = info.timeline.kind == RainKind::daily,
                      .most_mm = most,
                      .year_mm = sum / days * kYearDays},
                     findings);
}

}  // namespace

RainSource RainSource::open(const RainSettings& settings, const Season& season, Findings& findings) {
    RainSource source;
    source.m_stack = std::make_shared<const ClimateStack>(open_rain_stack(settings, findings));
    const ClimateStack& stack = *source.m_stack;
    RainInfo& info = source.m_info;
    info.where = stack.where;
    for (const StackFile& file : stack.files) {
        info.files.push_back(file.path);
    }
    info.grid = stack.grid;
    info.crs = stack.crs;
    info.unit = rain_unit(stack.where, only_unit(stack), settings);
    if (settings.kind == RainKind::monthly_normals) {
        info.timeline = make_normals_timeline(season);
        source.m_plan = std::make_shared<const StepPlan>(normals_order(stack, info.timeline, findings));
        return source;
    }
    StackSeries series = bands_by_date(stack, settings.kind, settings.start, season.fill, findings);
    info.timeline =
        make_series_timeline(settings.kind, stack.calendar.calendar, series.first, series.plan.steps, season);
    require_tank_year(stack.where, info.timeline, season);
    source.m_plan = std::make_shared<const StepPlan>(std::move(series.plan));
    return source;
}

RainData RainSource::read(const Box& area, Findings& findings, const SeriesRoom& room) const {
    RainConversion conversion(*m_stack, m_info, m_plan->per_step);
    DayTrend within_days(m_plan->per_step);
    RainData data{m_info, read_stack(*m_stack, area, *m_plan, std::ref(conversion), room, &within_days)};
    data.info.grid = frame_of(data.field).grid;
    refuse_sums(data, within_days);
    if (conversion.tiny() > 0) {
        findings.note(
            {m_info.where, fmt::format("{} values a little below 0 mm; they count as 0", conversion.tiny()), "", ""});
    }
    warn_of_odd_totals(data, findings);
    return data;
}

}  // namespace eaveshed
