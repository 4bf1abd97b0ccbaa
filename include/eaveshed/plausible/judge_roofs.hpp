// Whether what was seen of a sample of roofs can be meant.
#pragma once

#include <string>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/plausible/roof_sample.hpp"

namespace eaveshed {

// How messages name the inputs.
struct JudgedInputs {
    std::string footprints;
    std::string terrain;
    std::string surface;
    std::string parcels;
    std::string exclusions{};
};

// Fewer of a sample than this with what a check asks for do not make it speak.
inline constexpr std::size_t kLeastJudged = 5;

// Every check of core/check_code.hpp that asks single roofs; in the table's order. Each finding has the share of the
// roofs concerned and one of them as an example: of those, in the order of what was asked, the middle one.
void judge_roofs(const BasinSample& sample, const JudgedInputs& inputs, Findings& findings);

}  // namespace eaveshed
