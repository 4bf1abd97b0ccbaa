// The version of the program.
#pragma once

#include <string>

namespace eaveshed {

[[nodiscard]] std::string program_version();

}  // namespace eaveshed
