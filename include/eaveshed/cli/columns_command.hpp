// `eaveshed columns [TABLE] [--markdown]`: every table of the output with its columns.
#pragma once

#include <iosfwd>
#include <string>

namespace eaveshed {

// One table, or all where `table` is empty; an unknown one is an input error. Markdown is always all of it, as in
// docs/output.md. Returns the exit code.
int print_columns(std::ostream& out, const std::string& table, bool markdown);

}  // namespace eaveshed
