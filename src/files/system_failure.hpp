// What the system said when it refused. Private to the module.
#pragma once

#include <filesystem>
#include <string>

namespace eaveshed {

// Throws by errno: what may pass is a passing error, anything else a working error.
[[noreturn]] void fail_by_errno(const std::filesystem::path& path, const std::string& what);

}  // namespace eaveshed
