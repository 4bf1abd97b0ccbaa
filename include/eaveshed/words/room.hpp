// How much room a disk has, in words.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>

namespace eaveshed {

// Free bytes for this user where the path lies, or its nearest folder that exists; none where nobody can say.
[[nodiscard]] std::optional<std::uint64_t> free_bytes(const std::filesystem::path& path);

// "1.5 GiB", "312 bytes".
[[nodiscard]] std::string bytes_text(std::uint64_t bytes);

// "needs 12.0 MiB, 3.1 MiB free", without what is not known: 0 for `needed`. Empty where nothing is.
[[nodiscard]] std::string room_text(const std::filesystem::path& path, std::uint64_t needed = 0);

}  // namespace eaveshed
