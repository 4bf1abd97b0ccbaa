// The search for the best pad of one roof.
#pragma once

#include <cstddef>
#include <memory>
#include <optional>
#include <span>
#include <utility>
#include <vector>

#include "eaveshed/siting/own_cells.hpp"
#include "eaveshed/siting/pad.hpp"
#include "eaveshed/siting/pad_rules.hpp"
#include "eaveshed/siting/pad_size.hpp"
#include "eaveshed/siting/removed_cells.hpp"

namespace eaveshed {

// Which cells the ground and the shapes around the roof leave open is found once for all options; of those open to an
// option only such are looked at as can still be better than what was found. Several tanks stand side by side or in a
// row: a cell's pad is the better of the two that pass the rules. Which rules there are is not its business
// (siting_rule.hpp). For one thread at a time. method.md 6.4.
class PadSearch {
public:
    PadSearch(const PadSite& site, const PadRules& rules) : PadSearch(site, rules, nullptr) {}
    // The ground that the search of another roof has found out, of the same parcel, with the same cells of its own and
    // the same metres (OwnCells); none where it has not.
    PadSearch(const PadSite& site, const PadRules& rules, std::shared_ptr<const OpenGround> ground)
        : m_site(site), m_rules(rules), m_ground(std::move(ground)) {}
    PadSearch(const PadSearch&) = delete;  // one search a site: what it has found out serves the next option
    PadSearch& operator=(const PadSearch&) = delete;

    // None before the first search that needs it.
    [[nodiscard]] const std::shared_ptr<const OpenGround>& ground() const { return m_ground; }
    // The cells within max_fill_m of the roof, or the one that was measured.
    [[nodiscard]] std::size_t cell_count() const;
    // The best eligible pads, best first, at most `wanted` of them. One is found much faster than many.
    [[nodiscard]] std::vector<Pad> best(const Tanks& tanks, std::size_t wanted) const;
    // The pad on one cell, by the very rules of the search; none where every way to stand there fails one of them, and
    // on any other cell than the measured one. Slow beside a search that asks many cells.
    [[nodiscard]] std::optional<Pad> at(Cell cell, const Tanks& tanks) const { return answer(cell, tanks).pad; }
    // The same with the reason; neither for a cell beyond max_fill_m, and for any other than the measured one.
    [[nodiscard]] CellAnswer answer(Cell cell, const Tanks& tanks) const;
    // Whether any cell is left by the rules that ask the cell itself and what lies around it. False: none of these
    // options has a pad.
    [[nodiscard]] bool any_place(std::span<const Tanks> options) const;
    // All of them, best first: every cell that passes the rules.
    [[nodiscard]] std::vector<Pad> eligible(const Tanks& tanks) const;
    // Every cell by the first rule that removes it, in the order of the rules; of two ways to stand by the later one;
    // of a measured pad by the first that no visit settles.
    [[nodiscard]] RemovedCells removed(const Tanks& tanks) const;
    // Of these tanks, which have no pad, the rule that removed most cells: main_reason of the counts, mostly without
    // counting them all.
    [[nodiscard]] PadReason main_reason(const Tanks& tanks) const;
    // The tanks of a pad that was found, each with its own ground; of a cluster one place for all.
    [[nodiscard]] StandingTanks tanks_of(const Pad& pad, const Tanks& tanks) const;

private:
    // `visit` says with true that it has seen enough.
    template <typename Visit>
    void for_each_open(const TankGround& size, Visit&& visit) const;
    [[nodiscard]] const OwnCells& own_cells() const;

    PadSite m_site;
    PadRules m_rules;
    mutable std::shared_ptr<const OpenGround> m_ground;
    mutable std::optional<OwnCells> m_own_cells;  // of all options; made when the first is searched for
};

}  // namespace eaveshed
