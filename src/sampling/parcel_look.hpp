// How roofs lie to parcels, as numbers. Private to the module.
#pragma once

#include <cstdint>
#include <vector>

#include "eaveshed/inputs/inputs.hpp"
#include "eaveshed/plan/plan.hpp"
#include "eaveshed/plausible/judge_parcel_fit.hpp"

namespace eaveshed {

// Of these roofs, which are computed; there are parcels.
[[nodiscard]] ParcelFit look_at_parcels(const Inputs& inputs, const Plan& plan,
                                        const std::vector<std::uint32_t>& roofs);

}  // namespace eaveshed
