// What the reader of CSV takes without a word: rows that are too short or too long, quotation marks that swallow the
// rows behind them, a table that is not in UTF-8. Private to the module.
#pragma once

#include <cstddef>
#include <string>

#include "eaveshed/core/finding.hpp"

namespace eaveshed {

// Throws an input error for a table in UTF-16. Before anything else reads it.
void require_no_utf16(const std::string& where, const std::string& path);

// Reads the whole table. `columns`: how many the library found, which tells the sign between them. Throws an input
// error for a quotation mark within a value, or without its second one, that makes the library take several lines for
// one; warns of rows with fewer values than columns, or with more, with the first lines. Rows of blanks alone, and
// empty values behind the last column, are nothing to tell of.
void look_at_rows(const std::string& where, const std::string& path, std::size_t columns, Findings& findings);

}  // namespace eaveshed
