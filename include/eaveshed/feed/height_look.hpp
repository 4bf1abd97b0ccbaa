// Whether the numbers of the height rasters can be heights at all, looked at under some of the roofs before work
// starts.
#pragma once

#include <cstdint>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/opening/open_inputs.hpp"
#include "eaveshed/plan/plan.hpp"

namespace eaveshed {

// How many roofs are looked at, spread evenly over the input. Each costs one or two blocks of every raster.
inline constexpr std::uint64_t kRoofsLookedAt = 256;

// Tells, with counts and what to do: numbers that no ground has, which are undeclared marks of missing cells or in
// another unit; ground at exactly 0 in a raster that declares no such mark; ground too steep to be true.
void look_at_heights(const Project& project, const OpenInputs& inputs, const Plan& plan, Findings& findings);

}  // namespace eaveshed
