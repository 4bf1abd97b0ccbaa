// The way to standard error. What comes from files goes through tell() (words/safe_output.hpp) first.
#pragma once

#include <string_view>

namespace eaveshed {

// To standard error, at once. Where that cannot be written to, nobody listens, and the work goes on.
void say(std::string_view text);

}  // namespace eaveshed
