// What could change a parcel's outcome most, of all that was assumed about it: every assumption is replaced by a low
// and by a high value, with storage and pad as they were chosen.
#pragma once

#include <span>
#include <vector>

#include "eaveshed/rank/questions.hpp"
#include "eaveshed/record/tile_rows.hpp"
#include "eaveshed/site/computed_roof.hpp"
#include "eaveshed/site/rules.hpp"
#include "eaveshed/site/tile_input.hpp"

namespace eaveshed {

struct SharedStorage;

// The questions of the parcel, at most three. `result`: its row and pad, filled.
// method.md 8.9.
[[nodiscard]] std::vector<QuestionToAsk> parcel_questions(const TileInput& tile, const TileRules& rules,
                                                          std::span<const ComputedRoof> roofs,
                                                          const SharedStorage& store, const ParcelRows& result);

}  // namespace eaveshed
