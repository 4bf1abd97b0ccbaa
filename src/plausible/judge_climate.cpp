#include "eaveshed/plausible/judge_climate.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <functional>

namespace eaveshed {

namespace {

constexpr int kMonths = 12;
constexpr double kDaysOfYear = 365.0;
constexpr double kInchMm = 25.4;  // exact: NIST SP 811, appendix B

void judge_season(const JudgedClimate& climate, const Season& season, Findings& findings) {
    const MonthDepths& mean = *climate.mean_mm;
    const double year_mm = sum_of_year(mean);
    if (!(year_mm > 0.0) || season.fill.empty()) {
        return;
    }
    const double share = sum_over(mean, season.fill) / year_mm;
    const double even = static_cast<double>(season.fill.mean_year_days()) / kDaysOfYear;
    const int wettest = static_cast<int>(std::ranges::max_element(mean) - mean.begin()) + 1;
    if (share >= rule_of(CheckCode::rain_season).low * even && !season.forbear.has(wettest)) {
        return;
    }
    findings.check(
        CheckCode::rain_season,
        {climate.rain,
         fmt::format("{:.0f} % of the year's rain in the fill months, which are {:.0f} % of the year; the "
                     "wettest month is {} with {:.0f} mm",
                     100.0 * share, 100.0 * even, month_name(wettest), mean.at(static_cast<std::size_t>(wettest - 1))),
         "fill months wetter than the rest of the year", ""});
}

void judge_total(const JudgedClimate& climate, Findings& findings) {
    const CheckRule& rule = rule_of(CheckCode::rain_total);
    const double year_mm = sum_of_year(*climate.mean_mm);
    if (year_mm < rule.low || year_mm > rule.high) {
        findings.check(
            CheckCode::rain_total,
            {climate.rain,
             fmt::format("{:.4g} mm of rain in a mean year; in inches it would be {:.4g} mm, in tenths of a mm {:.4g}",
                         year_mm, kInchMm * year_mm, year_mm / 10.0),
             fmt::format("{:g} to {:g} mm", rule.low, rule.high), ""});
    }
}

void judge_dates(const JudgedClimate& climate, Findings& findings) {
    const Date end = last_day(*climate.timeline);
    const Date now = *climate.newest_input;
    if (end > now) {
        findings.check(CheckCode::rain_future,
                       {climate.rain,
                        fmt::format("a record to {}, beyond the day on which the newest input file was written ({})",
                                    to_text(end), to_text(now)),
                        "rain that has fallen", ""});
    }
    const double years = static_cast<double>(now.year - end.year) +
                         static_cast<double>(now.month - end.month) / static_cast<double>(kMonths);
    if (years > rule_of(CheckCode::rain_old).high) {
        findings.check(CheckCode::rain_old,
                       {climate.rain, fmt::format("a record that ended {:.0f} years ago, {}", years, to_text(end)),
                        fmt::format("rain of the last {:g} years", rule_of(CheckCode::rain_old).high), ""});
    }
}

// Told where some fill month with rain has less than 0.
void judge_cold(CheckCode code, const JudgedClimate& climate, const Season& season,
                const std::function<double(std::size_t)>& degrees, const char* what, Findings& findings) {
    std::string months;
    double coldest = 0.0;
    double rain_mm = 0.0;
    for (int month = 1; month <= kMonths; ++month) {
        const auto at = static_cast<std::size_t>(month - 1);
        if (season.fill.has(month) && degrees(at) < 0.0) {
            months += (months.empty() ? "" : ", ") + std::string(month_name(month));
            coldest = std::min(coldest, degrees(at));
            rain_mm += climate.mean_mm ? climate.mean_mm->at(at) : 0.0;
        }
    }
    if (months.empty()) {
        return;
    }
    const double fill_mm = climate.mean_mm ? sum_over(*climate.mean_mm, season.fill) : 0.0;
    const std::string share =
        fill_mm > 0.0 ? fmt::format("; {:.0f} % of the fill months' rain falls then", 100.0 * rain_mm / fill_mm) : "";
    findings.check(code, {climate.temperature,
                          fmt::format("{} below 0 degrees C (down to {:.1f}) in {}{}", what, coldest, months, share),
                          "fill months in which rain runs off", ""});
}

}  // namespace

void judge_climate(const JudgedClimate& climate, const Season& season, Findings& findings) {
    if (climate.mean_mm) {
        judge_season(climate, season, findings);
        judge_total(climate, findings);
    }
    if (climate.timeline->is_series() && climate.newest_input) {
        judge_dates(climate, findings);
    }
    const CheckRule& et0 = rule_of(CheckCode::et0_year);
    if (climate.et0_year_mm && (*climate.et0_year_mm < et0.low || *climate.et0_year_mm > et0.high)) {
        findings.check(CheckCode::et0_year,
                       {climate.evapotranspiration,
                        fmt::format("{:.4g} mm of reference evapotranspiration in a year in the middle of the basin",
                                    *climate.et0_year_mm),
                        fmt::format("{:g} to {:g} mm", et0.low, et0.high), ""});
    }
    if (!climate.minimum_c) {
        return;
    }
    bool snow = false;
    if (climate.maximum_c) {
        const auto mean = [&](std::size_t at) { return (climate.minimum_c->at(at) + climate.maximum_c->at(at)) / 2.0; };
        const auto before = findings.list().size();
        judge_cold(CheckCode::snow_months, climate, season, mean, "a mean temperature", findings);
        snow = findings.list().size() > before;
    }
    if (!snow) {
        judge_cold(
            CheckCode::frost_months, climate, season, [&](std::size_t at) { return climate.minimum_c->at(at); },
            "a mean daily minimum", findings);
    }
}

}  // namespace eaveshed
