// The parts of the page, in the order in which they stand on it. Private to the module.
#pragma once

#include <cstddef>
#include <string>

#include "eaveshed/compare/compare.hpp"

namespace eaveshed {

// What the creek would feel; everything that storage could replace, part by part; rows by status and delivery; the
// first of the ranking.
[[nodiscard]] std::string totals_part(const Comparison& comparison);
[[nodiscard]] std::string ranking_part(const Comparison& comparison);
// What would come together in each creek, and reaches that only one file has; empty where neither has streams.
[[nodiscard]] std::string creeks_part(const Comparison& comparison);
// Settings, inputs, measured values and program: what differs.
[[nodiscard]] std::string causes_part(const Comparison& comparison);
// The rows that changed: how many and by what, and the first of them.
[[nodiscard]] std::string rows_part(const Comparison& comparison);

// How many rows and how many measured values the page shows.
inline constexpr std::size_t kShownChanges = 10;

// Broken before the 100th column; further lines begin with `indent` blanks.
[[nodiscard]] std::string page_lines(const std::string& text, std::size_t indent);

}  // namespace eaveshed
