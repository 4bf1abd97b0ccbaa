// What falls in which month: the one figure of a rain record that people are told before all others.
#pragma once

#include <array>
#include <optional>
#include <span>

#include "eaveshed/core/season.hpp"
#include "eaveshed/rain/record.hpp"

namespace eaveshed {

// Rain by month, January first, mm: means over the tank years that count.
using MonthDepths = std::array<double, 12>;

// `depths_mm`: of one place, as the record has them, NaN missing (counted as dry). None where no tank year counts.
// method.md 2.9.
[[nodiscard]] std::optional<MonthDepths> mean_year_mm(const RainRecord& record, std::span<const double> depths_mm);

[[nodiscard]] double sum_over(const MonthDepths& depths_mm, MonthSet months);
[[nodiscard]] double sum_of_year(const MonthDepths& depths_mm);

}  // namespace eaveshed
