#include "eaveshed/core/spells.hpp"

#include <utility>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kNoYear = static_cast<std::size_t>(-1);

// Puts one day after another into steps and spells.
class Condenser {
public:
    Condenser(const Timeline& daily, const Season& season) : m_daily(daily), m_season(season) {
        m_out.timeline.kind = daily.kind;
        m_out.timeline.calendar = daily.calendar;
        m_out.timeline.first = daily.first;
        m_out.timeline.partial_years = daily.partial_years;
    }

    void add(std::size_t day, bool wet) {
        enter_year(day);
        const Step& step = m_daily.steps[day];
        const bool joins = can_join(day, wet);
        if (!joins) {
            m_out.timeline.steps.push_back({step.month, 0});
        }
        m_out.timeline.steps.back().days = static_cast<std::int8_t>(m_out.timeline.steps.back().days + 1);
        mark_year(day);
        if (wet || !joins || m_last_wet) {
            m_out.spells.push_back({static_cast<std::uint32_t>(m_out.timeline.steps.size() - 1), step.month, 1, wet});
        } else {
            m_out.spells.back().days = static_cast<std::int8_t>(m_out.spells.back().days + 1);
        }
        if (wet) {
            m_out.wet_steps.push_back(static_cast<std::uint32_t>(day));
        }
        m_last_wet = wet;
    }

    CondensedDays finish() {
        if (m_out.timeline.years.size() != m_daily.years.size()) {
            internal_error("tank years lost in condensing a record");
        }
        return std::move(m_out);
    }

private:
    // The year that holds the day, if any does.
    void enter_year(std::size_t day) {
        if (m_year < m_daily.years.size() && day >= m_daily.years[m_year].end) {
            ++m_year;
        }
        const bool inside = m_year < m_daily.years.size() && day >= m_daily.years[m_year].begin;
        const std::size_t now = inside ? m_year : kNoYear;
        m_new_year = now != m_current;
        m_current = now;
    }

    [[nodiscard]] bool can_join(std::size_t day, bool wet) const {
        if (day == 0 || m_new_year || m_daily.steps[day].month != m_daily.steps[day - 1].month) {
            return false;
        }
        if (!m_season.draw.has(m_daily.steps[day].month)) {
            return true;
        }
        const bool fills = m_current != kNoYear && day < m_daily.years[m_current].first_forbear;
        return !wet && !m_last_wet && !fills;
    }

    // Years in steps instead of days. A forbearance month begins a step, because a month does.
    void mark_year(std::size_t day) {
        if (m_current == kNoYear) {
            return;
        }
        const TankYear& days = m_daily.years[m_current];
        const std::size_t step = m_out.timeline.steps.size() - 1;
        if (day == days.begin) {
            m_out.timeline.years.push_back(days);
            m_out.timeline.years.back().begin = step;
        }
        TankYear& steps = m_out.timeline.years.back();
        if (day == days.first_forbear) {
            steps.first_forbear = step;
        }
        steps.end = step + 1;
    }

    const Timeline& m_daily;
    const Season& m_season;
    CondensedDays m_out;
    std::size_t m_year = 0;
    std::size_t m_current = kNoYear;
    bool m_new_year = false;
    bool m_last_wet = false;
};

}  // namespace

CondensedDays condense_days(const Timeline& daily, const std::vector<bool>& wet, const Season& season) {
    if (daily.kind != RainKind::daily || wet.size() != daily.steps.size()) {
        internal_error("wet days and a record of days of different lengths");
    }
    Condenser condenser(daily, season);
    for (std::size_t day = 0; day < daily.steps.size(); ++day) {
        condenser.add(day, wet[day]);
    }
    return condenser.finish();
}

CondensedDays as_recorded(const Timeline& daily) {
    CondensedDays days{.timeline = daily, .spells = {}, .wet_steps = {}};
    days.spells.reserve(daily.steps.size());
    for (std::size_t day = 0; day < daily.steps.size(); ++day) {
        const auto step = static_cast<std::uint32_t>(day);
        days.spells.push_back({step, daily.steps[day].month, daily.steps[day].days, true});
        days.wet_steps.push_back(step);
    }
    return days;
}

}  // namespace eaveshed
