// Option and site together: which storage stands where.
#pragma once

#include <optional>

#include "eaveshed/record/result.hpp"
#include "eaveshed/siting/search.hpp"
#include "eaveshed/tile/roof_site.hpp"
#include "eaveshed/tile/rules.hpp"

namespace eaveshed {

// An option of TileRules::options and the pad on which it stands.
struct Sited {
    std::size_t option = 0;
    std::optional<Pad> pad;
};

// The pad of an option, or of the next smaller one that has any; without one the option itself.
[[nodiscard]] Sited site_option(const PadSearch& search, const TileRules& rules, std::size_t option);

// Fills use point, pad, window and the columns of delivery. `recommended` is a position in TileRules::options; without
// a pad for it the next smaller ones are tried.
[[nodiscard]] Sited evaluate_siting(const RoofSite& site, const TileRules& rules, std::size_t recommended,
                                    RoofResult& result);

}  // namespace eaveshed
