// What is said to people while the work goes on.
#pragma once

#include <string_view>

namespace eaveshed {

// To standard error, at once. Where that cannot be written to, nobody listens, and the work goes on.
void say(std::string_view text);

}  // namespace eaveshed
