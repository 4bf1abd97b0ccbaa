// The first features of a layer as people are shown them. Private to the module.
#pragma once

#include "eaveshed/inputs/inputs.hpp"
#include "eaveshed/run/check.hpp"

namespace eaveshed {

// At most two rows; none of a layer whose section names no field, or whose features cannot be read: those who read it
// for the work say why.
[[nodiscard]] std::vector<ShownRow> first_rows(const Setting& input, const Settings& settings, const Layer& layer);

}  // namespace eaveshed
