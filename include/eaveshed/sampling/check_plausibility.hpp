// Looks at an even sample of roofs and at the climate in the middle of the basin, and judges by the table of
// core/check_code.hpp whether inputs that are sound as files can be meant.
//
// Bounded whatever the basin's size: kSampledRoofs records of the plan, kSeenRoofs places of the rasters, and one pass
// over the parcels' records. The same roofs each time.
#pragma once

#include <cstdint>
#include <optional>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/opening/open_inputs.hpp"
#include "eaveshed/plan/plan.hpp"
#include "eaveshed/rain/mean_year.hpp"

namespace eaveshed {

inline constexpr std::uint64_t kSampledRoofs = 2000;
inline constexpr std::uint64_t kSeenRoofs = 400;
inline constexpr std::uint64_t kFittedRoofs = 120;  // each is tried at every shift of the parcels

// `plan`: with its roofs and parcels read; sites and tiles are not asked for. `mean_year_mm`: rain in the middle of the
// basin. Damaged blocks of rasters are missing here, and told elsewhere.
void check_plausibility(const Project& project, const OpenInputs& inputs, const Plan& plan,
                        const std::optional<MonthDepths>& mean_year_mm, Findings& findings);

}  // namespace eaveshed
