// Versions of the outside libraries that results depend on.
#pragma once

#include <string>
#include <utility>
#include <vector>

namespace eaveshed {

using LibraryVersions = std::vector<std::pair<std::string, std::string>>;

// Name and version in a fixed order, of the libraries as they run, not as they were compiled against.
[[nodiscard]] LibraryVersions library_versions();

}  // namespace eaveshed
