// Versions of the program and of the libraries its results depend on.
#pragma once

#include <string>
#include <utility>
#include <vector>

namespace eaveshed {

[[nodiscard]] std::string program_version();
// Name and version in a fixed order, of the libraries as they run, not as they were compiled against.
[[nodiscard]] std::vector<std::pair<std::string, std::string>> library_versions();

}  // namespace eaveshed
