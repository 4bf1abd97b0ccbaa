#include "eaveshed/site/climate.hpp"

#include <algorithm>
#include <cmath>
#include <span>
#include <utility>

namespace eaveshed {

void WetDays::add(std::span<const double> series) {
    if (std::ranges::all_of(series, [](double depth) { return std::isnan(depth); })) {
        return;
    }
    for (std::size_t day = 0; day < series.size(); ++day) {
        if (series[day] != 0.0) {  // true of a gap
            m_wet[day] = true;
        }
    }
}

std::vector<bool> WetDays::wet() const {
    std::vector<bool> wet = m_wet;
    if (const auto dry = std::ranges::find(wet, false); dry != wet.end()) {
        *dry = true;
    }
    return wet;
}

std::vector<std::uint32_t> condense(ClimateInput& climate, const WetDays& days, const Season& season) {
    CondensedDays condensed = condense_days(climate.timeline, days.wet(), season);
    climate.rain.steps = condensed.wet_steps.size();
    climate.timeline = std::move(condensed.timeline);
    climate.spells = std::move(condensed.spells);
    return std::move(condensed.wet_steps);
}

void keep_days(std::span<const double> series, std::span<const std::uint32_t> kept, std::vector<double>& to) {
    for (const std::uint32_t day : kept) {
        to.push_back(series[day]);
    }
}

void condense(ClimateInput& climate, const Season& season) {
    StepField& rain = climate.rain;
    const std::size_t all = rain.steps;
    WetDays days(all);
    for (std::size_t first = 0; first < rain.values.size(); first += all) {
        days.add(std::span(rain.values).subspan(first, all));
    }
    const std::vector<std::uint32_t> kept = condense(climate, days, season);
    std::size_t to = 0;
    for (std::size_t first = 0; first < rain.values.size(); first += all) {
        for (const std::uint32_t day : kept) {
            rain.values[to++] = rain.values[first + day];
        }
    }
    rain.values.resize(to);
    rain.values.shrink_to_fit();
}

}  // namespace eaveshed
