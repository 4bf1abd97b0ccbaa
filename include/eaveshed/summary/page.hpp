// The page that people read at the end of a run and take away: whom to call first, what the creek would feel, and what
// that rests on. Plain text of at most 100 columns, in the units of the project.
#pragma once

#include <string>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/summary/summary_facts.hpp"

namespace eaveshed {

[[nodiscard]] std::string page_text(const SummaryFacts& facts);

// The same facts with names that carry their units, in SI; null where nothing is known.
[[nodiscard]] std::string page_json(const SummaryFacts& facts);

// Of a finished file: what `screen` prints at its end and `summary` whenever it is asked. Input errors as
// read_summary.
[[nodiscard]] std::string page_of(const std::string& file, bool json, Findings& findings);

}  // namespace eaveshed
