// The tables of settings and inputs for people: `eaveshed settings` and `eaveshed help inputs`, docs/settings.md and
// docs/inputs.md.
#pragma once

#include <iosfwd>

namespace eaveshed {

// Aligned text: section by section, each setting with unit, default, what is allowed, meaning and source.
void print_settings_text(std::ostream& out);

// The same as Markdown; docs/settings.md is its output, byte for byte.
void print_settings_markdown(std::ostream& out);

// Every input in Markdown, as `eaveshed help inputs` and docs/inputs.md have it.
void print_inputs(std::ostream& out);

}  // namespace eaveshed
