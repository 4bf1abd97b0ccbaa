// Ids as findings show them. Private to the module.
#pragma once

#include <string>

#include "eaveshed/words/wording.hpp"

namespace eaveshed {

// In one line, without controls, and short: ids are whatever the data hold.
[[nodiscard]] inline std::string shown_id(const std::string& id) {
    constexpr std::size_t kMostBytes = 60;
    return printable(id, kMostBytes);
}

}  // namespace eaveshed
