// How rows are packed. Private to the module.
#pragma once

#include <cstdint>
#include <filesystem>
#include <span>
#include <string>
#include <string_view>

#include "eaveshed/files/bytes.hpp"
#include "eaveshed/store/spool.hpp"

namespace eaveshed {

// The ordinal stands first in both.
void pack(const RoofRows& result, const SpoolFormat& format, ByteWriter& out);
void pack(const ParcelRows& result, const SpoolFormat& format, ByteWriter& out);
[[nodiscard]] RoofRows unpack(std::span<const unsigned char> bytes, const SpoolFormat& format, std::string_view where);
[[nodiscard]] ParcelRows unpack_parcel(std::span<const unsigned char> bytes, const SpoolFormat& format,
                                       std::string_view where);

[[noreturn]] void refuse(const std::filesystem::path& path, const std::string& found);

}  // namespace eaveshed
