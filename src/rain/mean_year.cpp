#include "eaveshed/rain/mean_year.hpp"

#include <cmath>
#include <cstddef>
#include <numeric>
#include <vector>

namespace eaveshed {

namespace {

// The step of the record that each depth falls into.
std::vector<std::size_t> steps_of_depths(const RainRecord& record) {
    std::vector<std::size_t> steps;
    if (const auto* const days = std::get_if<CondensedDays>(&record)) {
        for (const Spell& spell : days->spells) {
            if (spell.wet) {
                steps.push_back(spell.step);
            }
        }
        return steps;
    }
    steps.resize(timeline_of(record).steps.size());
    std::iota(steps.begin(), steps.end(), std::size_t{0});
    return steps;
}

}  // namespace

std::optional<MonthDepths> mean_year_mm(const RainRecord& record, std::span<const double> depths_mm) {
    const std::vector<TankYear> years = counted_years(record, depths_mm);
    if (years.empty()) {
        return std::nullopt;
    }
    const Timeline& timeline = timeline_of(record);
    const std::vector<std::size_t> steps = steps_of_depths(record);
    MonthDepths sums{};
    std::size_t next = 0;
    for (const TankYear& year : years) {
        for (; next < steps.size() && steps[next] < year.end; ++next) {
            const bool counts = steps[next] >= year.begin && !std::isnan(depths_mm[next]);
            const int month = timeline.steps[steps[next]].month;
            sums.at(static_cast<std::size_t>(month - 1)) += counts ? depths_mm[next] : 0.0;
        }
    }
    for (double& sum : sums) {
        sum /= static_cast<double>(years.size());
    }
    return sums;
}

double sum_over(const MonthDepths& depths_mm, MonthSet months) {
    double sum = 0.0;
    for (int month = 1; month <= 12; ++month) {
        sum += months.has(month) ? depths_mm.at(static_cast<std::size_t>(month - 1)) : 0.0;
    }
    return sum;
}

double sum_of_year(const MonthDepths& depths_mm) {
    return std::accumulate(depths_mm.begin(), depths_mm.end(), 0.0);
}

}  // namespace eaveshed
