// Remedies for sections and keys of a project file that are not known.
#pragma once

#include <string>
#include <string_view>

#include "eaveshed/settings/table.hpp"

namespace eaveshed {

// "[siting]", or "[[tanks]]" for a repeated section.
[[nodiscard]] std::string brackets(const Section& section);

[[nodiscard]] std::string suggestion_for_section(std::string_view name);

// For a key that its section does not have: the section where it belongs, else the nearest name, else the section's
// keys.
[[nodiscard]] std::string suggestion_for_key(std::string_view key, const Section& section);

// For a key outside any section.
[[nodiscard]] std::string suggestion_for_key(std::string_view key);

}  // namespace eaveshed
