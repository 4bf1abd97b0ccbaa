// The search for the best pad of one roof.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "eaveshed/siting/pad.hpp"
#include "eaveshed/siting/pad_rules.hpp"
#include "eaveshed/siting/pad_size.hpp"
#include "eaveshed/siting/removed_cells.hpp"

namespace eaveshed {

// Answers row by row: which cells the shapes around the roof leave open, then of those only such as can still be better
// than what was found. Which rules there are is not its business (siting_rule.hpp).
// method.md 6.4.
class PadSearch {
public:
    PadSearch(const PadSite& site, const PadRules& rules) : m_site(site), m_rules(rules) {}

    // The cells within max_fill_m of the roof, or the one that was measured.
    [[nodiscard]] std::size_t cell_count() const;
    // The best eligible pads, best first, at most `wanted` of them. One is found much faster than many.
    [[nodiscard]] std::vector<Pad> best(const Tanks& tanks, std::size_t wanted) const;
    // Whether any cell is left by the rules that only grow stricter with the ground that the tanks take. `least`: of
    // several options the smallest ground of one tank and of all. False: none of them has a pad.
    [[nodiscard]] bool any_place(const TankGround& least) const;
    // All of them, best first: every cell that passes the rules.
    [[nodiscard]] std::vector<Pad> eligible(const Tanks& tanks) const;
    // Every cell by the first rule that removes it, in the order of the rules; of a measured pad by the first that no
    // visit settles.
    [[nodiscard]] RemovedCells removed(const Tanks& tanks) const;

private:
    // `visit` says with true that it has seen enough.
    template <typename Visit>
    void for_each_open(double pad_radius_m, Visit&& visit) const;
    [[nodiscard]] PadGround ground_at(Cell cell) const;
    // A rank that no pad on the cell can be better than, from its elevation alone.
    [[nodiscard]] PadRank bound_at(Cell cell, double elev_m, const Tanks& tanks) const;
    // The measured cell, where it is near enough to the roof, with the rule that removes it all the same.
    struct GivenPad {
        Pad pad;
        std::optional<PadReason> removed;
    };
    [[nodiscard]] std::optional<GivenPad> given_pad(const Tanks& tanks) const;

    PadSite m_site;
    PadRules m_rules;
};

}  // namespace eaveshed
