// The table of checks as a page.
#pragma once

#include <iosfwd>

namespace eaveshed {

// In Markdown, as `eaveshed help checks` and docs/checks.md have it.
void print_checks(std::ostream& out);

}  // namespace eaveshed
