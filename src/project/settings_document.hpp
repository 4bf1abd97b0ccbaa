// A parsed project file into settings. Private to the module; includes toml++.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include <toml++/toml.h>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/settings/settings.hpp"

namespace eaveshed {

// Dotted keys nest tables, and the parser recurses over them without a limit: a text that would drive it out of its
// stack is to be refused first. Counts dots between parts of one key: more than 100.
[[nodiscard]] bool nests_too_deeply(std::string_view text);

// As read_settings (load.hpp), from a document that was put together and so has no lines to name.
[[nodiscard]] std::optional<Settings> read_document(const toml::table& document, const std::string& path_for_messages,
                                                    Findings& findings);

}  // namespace eaveshed
