#include "eaveshed/climate/cumulative.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace eaveshed {

namespace {

constexpr double kSame = 0.01;           // mm: less is rounding of packed values
constexpr std::size_t kFewestRises = 6;  // fewer are no trend
constexpr std::size_t kRisesAFall = 4;   // a wet season that comes and goes at once rises once a year

}  // namespace

void SeriesTrend::add(std::span<const double> series) {
    const std::size_t count = series.size();
    const std::size_t turns = m_timeline.is_series() ? count : count + 1;  // a mean year goes round
    double before = std::nan("");
    std::size_t rises = 0;
    std::size_t falls = 0;
    unsigned months = 0;  // in which it falls
    bool rain = false;
    for (std::size_t i = 0; i < turns; ++i) {
        const double value = series[i % count];
        if (std::isnan(value)) {
            continue;
        }
        rain = rain || value > kSame;
        rises += value > before + kSame ? 1U : 0U;
        if (value < before - kSame) {
            ++falls;
            months |= 1U << static_cast<unsigned>(m_timeline.steps[i % count].month);
        }
        before = value;
    }
    if (!rain) {
        return;
    }
    const bool one_month = (months & (months - 1)) == 0;
    const std::size_t years = m_timeline.is_series() ? m_timeline.years.size() + 2 : 1;
    if (rises >= kFewestRises && rises >= kRisesAFall * falls && one_month && falls <= years) {
        ++m_adding;
        m_reset += falls > 0 ? 1U : 0U;
    } else {
        ++m_other;
    }
}

std::optional<std::string> SeriesTrend::adding_up() const {
    if (m_adding == 0 || m_other > 0) {
        return std::nullopt;
    }
    return m_reset == 0 ? "values that never fall: they look like sums since the start of the record"
                        : "values that fall once a year only, in the same month: they look like sums since the start "
                          "of each year";
}

void DayTrend::add(std::size_t at, double before, double value) {
    m_rises += value > before + kSame ? 1U : 0U;
    m_falls[at] += value < before - kSame ? 1U : 0U;
}

bool DayTrend::adding_up() const {
    constexpr std::size_t kFewestSteps = 4;  // a day of three steps may well have its rain at the end
    const auto falling = std::count_if(m_falls.begin(), m_falls.end(), [](std::size_t falls) { return falls > 0; });
    return m_falls.size() >= kFewestSteps && m_rises >= kFewestRises * m_falls.size() && falling <= 1;
}

}  // namespace eaveshed
