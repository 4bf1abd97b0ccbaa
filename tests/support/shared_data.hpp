// Where the real open data lie, if they are there. Tests that use them skip with a message where they are not.
#pragma once

#include <cstdlib>
#include <filesystem>
#include <optional>
#include <string_view>

namespace eaveshed::testing {

// A path inside the shared folder: EAVESHED_SHARED, or `../shared` beside the source tree. None when it is absent.
inline std::optional<std::filesystem::path> shared_data(std::string_view relative) {
    namespace fs = std::filesystem;
    const char* named = std::getenv("EAVESHED_SHARED");  // NOLINT(concurrency-mt-unsafe)
    const fs::path root = named != nullptr ? fs::path(named) : fs::path(EAVESHED_SOURCE_DIR).parent_path() / "shared";
    const fs::path path = root / relative;
    std::error_code fault;
    if (!fs::exists(path, fault)) {
        return std::nullopt;
    }
    return path;
}

}  // namespace eaveshed::testing

// Skips the test with a message when the path is absent; otherwise defines `name`.
#define EAVESHED_SHARED_OR_SKIP(name, relative)                                                    \
    const auto name##_found = ::eaveshed::testing::shared_data(relative);                          \
    if (!name##_found) {                                                                           \
        GTEST_SKIP() << "the shared data folder does not hold " << (relative) << ": test skipped"; \
    }                                                                                              \
    const std::filesystem::path& name = *name##_found
