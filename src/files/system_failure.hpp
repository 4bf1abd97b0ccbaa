// What the system said when it refused. Private to the module.
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>

namespace eaveshed {

// Whether a shared folder or a busy machine says this now and may not say it in a minute.
[[nodiscard]] bool may_pass(int code);

// Throws by errno: what may pass is a passing error, anything else a working error. `needed`: bytes that were to be
// written, told with the free ones where there was no room; 0: not known.
[[noreturn]] void fail_by_errno(const std::filesystem::path& path, const std::string& what, std::uint64_t needed = 0);

}  // namespace eaveshed
