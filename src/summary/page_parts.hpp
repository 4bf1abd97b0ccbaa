// The parts of the page, in the order in which they stand on it. Private to the module.
#pragma once

#include <array>
#include <string>
#include <string_view>

#include "eaveshed/summary/summary_facts.hpp"

namespace eaveshed {

// What the creek would feel, in a sentence; then everything that storage could replace, part by part.
[[nodiscard]] std::string headline_part(const SummaryFacts& facts);
// What the candidates would add creek by creek and sub-basin by sub-basin; empty where there are neither.
[[nodiscard]] std::string streams_part(const SummaryFacts& facts);
// Whom to call first: the ranking of parcels, or where there are none the roofs; one kind of row only.
[[nodiscard]] std::string list_part(const SummaryFacts& facts);
// Roofs by what became of them.
[[nodiscard]] std::string roofs_part(const SummaryFacts& facts);
// What the answers rest on.
[[nodiscard]] std::string basis_part(const SummaryFacts& facts);
// What to open, and what to do next.
[[nodiscard]] std::string next_part(const SummaryFacts& facts);

// Several items of one line, broken before the 100th column; further lines begin with `indent` blanks.
[[nodiscard]] std::string wrapped(const std::string& text, std::size_t indent);

}  // namespace eaveshed
