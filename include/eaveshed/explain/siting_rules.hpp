// The rules of a pad's place for people: `eaveshed rules`, docs/siting_rules.md, and words for explanations.
// All of it is made from the one list (siting/siting_rule.hpp).
#pragma once

#include <iosfwd>
#include <string>

#include "eaveshed/core/outcomes.hpp"
#include "eaveshed/record/quantity_text.hpp"
#include "eaveshed/settings/settings.hpp"

namespace eaveshed {

// "15 %", "60 m" in these units: the value of the setting that the rule compares with; empty without one, and where
// every area has its own.
[[nodiscard]] std::string limit_text(PadReason rule, const Settings& settings, const QuantityText& units);

// "slope, cut, parcel": what of the rules a visit on site settles, each word once, in the order of the rules.
[[nodiscard]] std::string settled_by_visit_text();

// Rule by rule: what it removes, what it asks, its settings, and whether a visit settles it.
void print_siting_rules_text(std::ostream& out);

// The same as Markdown; docs/siting_rules.md is its output, byte for byte.
void print_siting_rules_markdown(std::ostream& out);

}  // namespace eaveshed
