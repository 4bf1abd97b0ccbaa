#include "eaveshed/rain/years.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "eaveshed/core/error.hpp"
#include "eaveshed/lanes/wide.hpp"

namespace eaveshed {

namespace {

void require_same_length(const Timeline& timeline, std::span<const double> per_step) {
    if (per_step.size() != timeline.steps.size()) {
        internal_error("series and timeline of different lengths");
    }
}

}  // namespace

std::vector<TankYear> counted_years(const Timeline& timeline, std::span<const Spell> spells,
                                    std::span<const double> wet_mm) {
    if (std::ranges::none_of(wet_mm, [](double depth) { return std::isnan(depth); })) {
        return timeline.years;
    }
    std::vector<double> missing(timeline.steps.size(), 0.0);
    std::size_t next = 0;
    for (const Spell& spell : spells) {
        if (spell.wet) {
            missing[spell.step] += std::isnan(wet_mm[next++]) ? 1.0 : 0.0;
        }
    }
    std::vector<TankYear> counted;
    for (const TankYear& year : timeline.years) {
        const double days = std::accumulate(missing.begin() + static_cast<std::ptrdiff_t>(year.begin),
                                            missing.begin() + static_cast<std::ptrdiff_t>(year.end), 0.0);
        if (days * 100 <= kMaxMissingPercent * year.days) {
            counted.push_back(year);
        }
    }
    return counted;
}

std::vector<TankYear> counted_years(const Timeline& timeline, std::span<const double> rain_mm) {
    require_same_length(timeline, rain_mm);
    std::vector<TankYear> counted;
    for (const TankYear& year : timeline.years) {
        int missing_days = 0;
        for (std::size_t i = year.begin; i < year.end; ++i) {
            missing_days += std::isnan(rain_mm[i]) ? timeline.steps[i].days : 0;
        }
        // In whole numbers: 18 of 360 days are 5 % exactly, and the year counts.
        if (missing_days * 100 <= kMaxMissingPercent * year.days) {
            counted.push_back(year);
        }
    }
    return counted;
}

std::vector<double> dry_where_missing(std::span<const double> rain_mm) {
    std::vector<double> depths(rain_mm.size());
    std::transform(rain_mm.begin(), rain_mm.end(), depths.begin(),
                   [](double depth) { return std::isnan(depth) ? 0.0 : depth; });
    return depths;
}

std::vector<double> year_sums(std::span<const double> per_step, const Timeline& timeline, MonthSet months,
                              std::span<const TankYear> years) {
    require_same_length(timeline, per_step);
    std::vector<double> sums;
    sums.reserve(years.size());
    for (const TankYear& year : years) {
        double sum = 0.0;
        for (std::size_t i = year.begin; i < year.end; ++i) {
            if (months.has(timeline.steps[i].month)) {
                sum += per_step[i];
            }
        }
        sums.push_back(sum);
    }
    return sums;
}

std::vector<Lanes> year_sums(std::span<const Lanes> per_step, const Timeline& timeline, MonthSet months) {
    std::vector<Lanes> sums;
    sums.reserve(timeline.years.size());
    for (const TankYear& year : timeline.years) {
        Wide sum = Wide::all(0.0);
        for (std::size_t i = year.begin; i < year.end; ++i) {
            if (months.has(timeline.steps[i].month)) {
                sum += Wide::of(per_step[i]);
            }
        }
        sums.push_back(sum.lanes());
    }
    return sums;
}

}  // namespace eaveshed
