// `eaveshed settings [--markdown]`: every setting with its unit, default, range, meaning and source.
#pragma once

#include <iosfwd>

namespace eaveshed {

// Returns the exit code.
int print_settings(std::ostream& out, bool markdown);

}  // namespace eaveshed
