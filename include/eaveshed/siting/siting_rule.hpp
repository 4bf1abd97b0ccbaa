// The rules of a pad's place as data: what each asks of a cell, by which settings, and what else holds of it. The
// search, its counts, the waiver of a measured pad, `eaveshed explain` and docs/siting_rules.md all follow this one
// list; each rule's name and meaning stand with its reason in core/outcomes.hpp, its test beside its entry in
// src/siting/rule_list.hpp.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "eaveshed/core/outcomes.hpp"

namespace eaveshed {

// The reasons up to the first that is no rule: it says why none could be asked.
inline constexpr std::size_t kPadRules = static_cast<std::size_t>(PadReason::no_use_point);

// What a rule looks at. The list is in this order, so that what is cheap is asked of many cells and what costs of few.
enum class RuleSubject : std::uint8_t {
    ground,  // elevations at a cell and around it
    level,   // the ground that is cut level for the tanks
    runs,    // whole runs of cells of a row against the shapes around the roof
    place,   // a circle of the tanks' ground against the shapes around it
    pad,     // the heights that follow for a pad on the cell
};

struct SitingRule {
    PadReason reason = PadReason::elevation_gap;
    std::string_view asks{};                    // of a cell that stays, in a sentence without its full stop
    std::string_view limit{};                   // the setting, "section.key", that the test compares with; may be empty
    std::array<std::string_view, 2> also = {};  // other settings that its answer follows; empty ones count not
    std::string_view visit_settles{};           // the word for what of it a visit settles; empty: nothing
    RuleSubject subject = RuleSubject::ground;  // of what its test asks; taken from the test itself

    // A pad that was measured on site is not removed by it.
    [[nodiscard]] constexpr bool settled_by_visit() const { return !visit_settles.empty(); }
};

// Every rule, in the order in which a removed cell is counted: that of PadReason.
[[nodiscard]] const std::array<SitingRule, kPadRules>& siting_rules();

}  // namespace eaveshed
