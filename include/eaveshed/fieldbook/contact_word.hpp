// The state of talks with an owner, as tables of people write it.
#pragma once

#include <optional>
#include <string>

#include "eaveshed/core/outcomes.hpp"

namespace eaveshed {

// The state that a word stands for; none for a word that is not known. Case and blanks around it count nothing, blanks
// and hyphens within are underscores.
// method.md 8.1.
[[nodiscard]] std::optional<ContactStatus> contact_status_of(const std::string& text);

}  // namespace eaveshed
