// Small work files with a checksum at their end: what a copy cut short is known by.
#pragma once

#include <filesystem>
#include <span>
#include <vector>

namespace eaveshed {

// Replaces the file.
void write_checked(const std::filesystem::path& path, std::span<const unsigned char> bytes);
// What was written. Another checksum is a working error that names the file.
[[nodiscard]] std::vector<unsigned char> read_checked(const std::filesystem::path& path);

}  // namespace eaveshed
