// Values of a project file and words. Private to the module; includes toml++.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include <toml++/toml.h>

namespace eaveshed {

// A value as a message shows it: short, on one line, with quotes around text.
[[nodiscard]] std::string shown(const toml::node& node);

// A name or text made fit for a message: cut when long, control characters replaced.
[[nodiscard]] std::string shown_name(std::string_view name);

// Not empty and without control characters.
[[nodiscard]] bool is_plain(std::string_view text);

}  // namespace eaveshed
