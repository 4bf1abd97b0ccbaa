// The tables of the output for people: `eaveshed columns` and docs/output.md.
#pragma once

#include <iosfwd>

#include "eaveshed/record/output_rows.hpp"

namespace eaveshed {

// One table as text: each column with its unit and who fills it; below, what it means, its words and its US twin.
void print_table_text(std::ostream& out, const OutputTable& output);

// Every table and closed list as Markdown; docs/output.md is its output, byte for byte.
void print_output_markdown(std::ostream& out);

}  // namespace eaveshed
