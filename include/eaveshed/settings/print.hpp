// The table of settings for people: `eaveshed settings` and docs/settings.md.
#pragma once

#include <iosfwd>

namespace eaveshed {

// Aligned text: section by section, each setting with unit, default, what is allowed, meaning and source.
void print_settings_text(std::ostream& out);

// The same as Markdown; docs/settings.md is its output, byte for byte.
void print_settings_markdown(std::ostream& out);

}  // namespace eaveshed
