// What could change a parcel's outcome most, of all that was assumed about it: every assumption is replaced by a low
// and by a high value, with storage and pad as they were chosen.
#pragma once

#include <span>
#include <vector>

#include "eaveshed/rank/questions.hpp"
#include "eaveshed/record/result.hpp"
#include "eaveshed/tile/computed_roof.hpp"
#include "eaveshed/tile/rules.hpp"
#include "eaveshed/tile/tile_input.hpp"

namespace eaveshed {

struct ParcelStore;

// The questions of the parcel, at most three. `result`: its row and pad, filled.
[[nodiscard]] std::vector<QuestionToAsk> parcel_questions(const TileInput& tile, const TileRules& rules,
                                                          std::span<const ComputedRoof> roofs, const ParcelStore& store,
                                                          const ParcelResult& result);

}  // namespace eaveshed
