// Versions of the outside libraries as they run, not as they were compiled against.
#pragma once

#include <string>
#include <utility>
#include <vector>

namespace eaveshed::io {

[[nodiscard]] std::vector<std::pair<std::string, std::string>> library_versions();

}  // namespace eaveshed::io
