// Option and site together: which storage stands where.
#pragma once

#include "eaveshed/record/result.hpp"
#include "eaveshed/tile/roof_site.hpp"
#include "eaveshed/tile/rules.hpp"

namespace eaveshed {

// Fills use point, pad, window and the columns of delivery. `recommended` is a position in TileRules::options; without
// a pad for it the next smaller ones are tried. Gives the chosen one: the recommended when none has a pad.
[[nodiscard]] std::size_t evaluate_siting(const RoofSite& site, const TileRules& rules, std::size_t recommended,
                                          RoofResult& result);

}  // namespace eaveshed
