// The basin's climate in the form that roofs are computed from.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "eaveshed/core/season.hpp"
#include "eaveshed/site/tile_input.hpp"

namespace eaveshed {

// Days on which some cell has rain or a gap, where it ever has a value, and one day without, which stands for all the
// others: a series that it leaves out is dry and not missing. From the series of all cells, one after another.
class WetDays {
public:
    explicit WetDays(std::size_t days) : m_wet(days, false) {}
    void add(std::span<const double> series);
    [[nodiscard]] std::vector<bool> wet() const;

private:
    std::vector<bool> m_wet;
};

// Turns a record of days, as read, into spells: `rain` keeps the days on which it may have rained in some cell and
// `timeline` the condensed steps. Every roof's figures stay what they were, to rounding. Once for a climate of days.
void condense(ClimateInput& climate, const Season& season);

// The same where `rain` is sparse and holds no series yet: gives the positions of the days that are kept, ascending, to
// which every series is to be cut (`keep_days`) before it is added.
[[nodiscard]] std::vector<std::uint32_t> condense(ClimateInput& climate, const WetDays& days, const Season& season);

// Appends the days of a series that are kept.
void keep_days(std::span<const double> series, std::span<const std::uint32_t> kept, std::vector<double>& to);

}  // namespace eaveshed
