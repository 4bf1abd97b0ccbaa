// Why no pad was found: every cell near a roof by the first rule that removes it.
#pragma once

#include <array>
#include <cstdint>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/siting/pad.hpp"
#include "eaveshed/siting/siting_rule.hpp"

namespace eaveshed {

// How many cells each rule was the first to remove; by PadReason.
using RemovedCells = std::array<std::uint64_t, kPadRules>;

// The rule that removed most cells, ties the first; elevation_gap where there was no cell at all.
[[nodiscard]] PadReason main_reason(const RemovedCells& removed);

// Of the cells within max_fill_m of the roof. The site has no given cell.
[[nodiscard]] RemovedCells removed_cells(const PadSite& site, const PadRules& rules, const Tanks& tanks);

}  // namespace eaveshed
