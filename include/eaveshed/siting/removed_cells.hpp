// Why no pad was found: every cell near a roof by the first rule that removes it.
#pragma once

#include <array>
#include <cstdint>
#include <optional>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/siting/pad.hpp"
#include "eaveshed/siting/siting_rule.hpp"

namespace eaveshed {

// How many cells each rule was the first to remove; by PadReason.
using RemovedCells = std::array<std::uint64_t, kPadRules>;

// The rule that removed most cells, ties the first; elevation_gap where there was no cell at all.
[[nodiscard]] PadReason main_reason(const RemovedCells& removed);

// The main reason where no cell has a pad and the ground alone tells it, whatever removes the cells that pass its
// rules: counted by the site's verdicts, which it has, without a look at a single cell. None where it takes all the
// counts. The site has no given cell.
[[nodiscard]] std::optional<PadReason> main_reason_of_ground(const PadSite& site, const PadRules& rules);

// Of the cells within max_fill_m of the roof. The site has no given cell.
[[nodiscard]] RemovedCells removed_cells(const PadSite& site, const PadRules& rules, const Tanks& tanks);

}  // namespace eaveshed
