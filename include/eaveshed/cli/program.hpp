// The program from words to exit code. Exit codes: docs/exit-codes are printed by `eaveshed help exit-codes`.
#pragma once

#include <iosfwd>
#include <string>
#include <vector>

namespace eaveshed {

// `words` are the arguments after the program's name. Results go to `out`; progress, warnings and errors to standard
// error. Never throws.
[[nodiscard]] int run_program(const std::vector<std::string>& words, std::ostream& out);

}  // namespace eaveshed
