// Settings from the rows in which a finished file keeps them.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <utility>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/settings/settings.hpp"

namespace eaveshed {

// The inverse of effective_settings (table.hpp): names as there ("section.key", "section.N.key", with one more part
// for a coefficient), values as value_text writes them; an empty one is not given. Every value goes through its
// setting's own reader, so the checks of a project file hold here too: each fault becomes an error among `findings`,
// and then there are no settings. The rows may come from any file: nothing in them is trusted. Rows of a repeated
// section count its tables from 1 without a gap.
[[nodiscard]] std::optional<Settings> settings_from_rows(std::span<const std::pair<std::string, std::string>> rows,
                                                         const std::string& where, Findings& findings);

}  // namespace eaveshed
