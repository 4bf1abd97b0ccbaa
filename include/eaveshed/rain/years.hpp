// Which tank years count, and totals over parts of them.
#pragma once

#include <span>
#include <vector>

#include "eaveshed/core/lanes.hpp"
#include "eaveshed/core/season.hpp"
#include "eaveshed/core/spells.hpp"
#include "eaveshed/core/timeline.hpp"

namespace eaveshed {

// A tank year with more than this share of its days in missing steps counts in no statistic.
// method.md 2.7.
inline constexpr int kMaxMissingPercent = 5;

// The complete tank years with enough data, in order. `rain_mm` has one depth per step, NaN where it is missing.
[[nodiscard]] std::vector<TankYear> counted_years(const Timeline& timeline, std::span<const double> rain_mm);

// The same of a record of days in spells: `wet_mm` has one depth per wet spell.
[[nodiscard]] std::vector<TankYear> counted_years(const Timeline& timeline, std::span<const Spell> spells,
                                                  std::span<const double> wet_mm);

// The series with 0 for NaN.
[[nodiscard]] std::vector<double> dry_where_missing(std::span<const double> rain_mm);

// One total per year: the values of the year's steps that lie in `months`, added in the order of time.
[[nodiscard]] std::vector<double> year_sums(std::span<const double> per_step, const Timeline& timeline, MonthSet months,
                                            std::span<const TankYear> years);
// The same in lanes, of all years of the timeline. One value per step.
[[nodiscard]] std::vector<Lanes> year_sums(std::span<const Lanes> per_step, const Timeline& timeline, MonthSet months);

}  // namespace eaveshed
