// Which days of a basin's record are kept as wet spells: those on which it may have rained somewhere. Every roof's
// figures stay what they were with all days, to rounding.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "eaveshed/core/step_field.hpp"

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

// The days of a series that are kept; `kept` has their positions, ascending.
[[nodiscard]] std::vector<double> keep_days(std::span<const double> series, std::span<const std::uint32_t> kept);
// The same of every series of a field, in place.
void keep_days(StepField& field, std::span<const std::uint32_t> kept);

}  // namespace eaveshed
