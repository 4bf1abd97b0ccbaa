#include "eaveshed/tile/climate.hpp"

#include <algorithm>
#include <cmath>
#include <span>
#include <utility>

namespace eaveshed {

namespace {

// Days on which some cell has rain or a gap, where it ever has a value, and one day without, which stands for all the
// others: a series that it leaves out is dry and not missing.
std::vector<bool> wet_days(const StepField& rain) {
    std::vector<bool> wet(rain.steps, false);
    for (std::size_t first = 0; first < rain.values.size(); first += rain.steps) {
        const auto series = std::span(rain.values).subspan(first, rain.steps);
        if (std::ranges::all_of(series, [](double depth) { return std::isnan(depth); })) {
            continue;
        }
        for (std::size_t day = 0; day < series.size(); ++day) {
            if (series[day] != 0.0) {  // true of a gap
                wet[day] = true;
            }
        }
    }
    if (const auto dry = std::ranges::find(wet, false); dry != wet.end()) {
        *dry = true;
    }
    return wet;
}

}  // namespace

void condense(ClimateInput& climate, const Season& season) {
    CondensedDays days = condense_days(climate.timeline, wet_days(climate.rain), season);
    StepField& rain = climate.rain;
    const std::size_t kept = days.wet_steps.size();
    std::size_t to = 0;
    for (std::size_t first = 0; first < rain.values.size(); first += rain.steps) {
        for (const std::uint32_t day : days.wet_steps) {
            rain.values[to++] = rain.values[first + day];
        }
    }
    rain.values.resize(to);
    rain.values.shrink_to_fit();
    rain.steps = kept;
    climate.timeline = std::move(days.timeline);
    climate.spells = std::move(days.spells);
}

}  // namespace eaveshed
