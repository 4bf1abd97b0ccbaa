// Whether values look like sums that go on adding up (since the start of the record, of each year or of each day)
// instead of the rain of each step: what no record of rain does, for rain stops.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "eaveshed/core/timeline.hpp"

namespace eaveshed {

// Of series of steps, cell by cell.
class SeriesTrend {
public:
    explicit SeriesTrend(const Timeline& timeline) : m_timeline(timeline) {}
    // Depths in mm of one cell, NaN missing.
    void add(std::span<const double> series);
    // What every cell with rain shows: "values that never fall, ..."; none where they are rain of steps.
    [[nodiscard]] std::optional<std::string> adding_up() const;

private:
    const Timeline& m_timeline;
    std::size_t m_adding = 0;  // cells whose values fall never, or once a year in one and the same month
    std::size_t m_reset = 0;   // of them, those that fall once a year
    std::size_t m_other = 0;
};

// Of steps shorter than a day: `at` is the place of a step in its day, from 0.
class DayTrend {
public:
    explicit DayTrend(int steps_a_day) : m_falls(static_cast<std::size_t>(steps_a_day), 0) {}
    void add(std::size_t at, double before, double value);
    // Values of a day never fall, or at one and the same step of the day only.
    [[nodiscard]] bool adding_up() const;

private:
    std::vector<std::size_t> m_falls;  // by the place in the day
    std::size_t m_rises = 0;
};

}  // namespace eaveshed
