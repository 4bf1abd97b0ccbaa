#include "eaveshed/rain/condense.hpp"

#include <algorithm>
#include <cmath>

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

std::vector<double> keep_days(std::span<const double> series, std::span<const std::uint32_t> kept) {
    std::vector<double> depths;
    depths.reserve(kept.size());
    for (const std::uint32_t day : kept) {
        depths.push_back(series[day]);
    }
    return depths;
}

void keep_days(StepField& field, std::span<const std::uint32_t> kept) {
    std::size_t to = 0;
    for (std::size_t first = 0; first < field.values.size(); first += field.steps) {
        for (const std::uint32_t day : kept) {
            field.values[to++] = field.values[first + day];
        }
    }
    field.steps = kept.size();
    field.values.resize(to);
    field.values.shrink_to_fit();
}

}  // namespace eaveshed
