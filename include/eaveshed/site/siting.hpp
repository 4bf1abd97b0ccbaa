// Option and site together: which storage stands where.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "eaveshed/record/tile_rows.hpp"
#include "eaveshed/site/rules.hpp"
#include "eaveshed/site/site_survey.hpp"
#include "eaveshed/siting/search.hpp"

namespace eaveshed {

// What the search says of one option of the catalogue.
struct OptionTried {
    std::size_t option = 0;  // position in TileRules::options
    std::optional<Pad> pad;  // the best
};

// The recommended option, then the next smaller ones until one has a pad: the last tried has it, when any has.
// method.md 6.21.
[[nodiscard]] std::vector<OptionTried> try_options(const PadSearch& search, const TileRules& rules,
                                                   std::size_t recommended);

// The storage that stands here, with its pad: the last tried, or the recommended one without a pad.
[[nodiscard]] OptionTried site_option(const PadSearch& search, const TileRules& rules, std::size_t recommended);

// Fills use point, pad, window and the columns of delivery. `recommended` is a position in TileRules::options; without
// a pad for it the next smaller ones are tried.
[[nodiscard]] OptionTried evaluate_siting(const SiteSurvey& site, const TileRules& rules, std::size_t recommended,
                                          RoofRows& result);

}  // namespace eaveshed
