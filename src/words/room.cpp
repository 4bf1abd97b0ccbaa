#include "eaveshed/words/room.hpp"

#include <fmt/format.h>

#include <array>

namespace eaveshed {

namespace fs = std::filesystem;

std::optional<std::uint64_t> free_bytes(const fs::path& path) {
    std::error_code fault;
    fs::path there = fs::absolute(path, fault);
    while (!fault && !fs::exists(there, fault) && there.has_relative_path()) {
        there = there.parent_path();
        fault.clear();
    }
    const fs::space_info space = fs::space(there, fault);
    return fault ? std::nullopt : std::optional<std::uint64_t>(space.available);
}

std::string bytes_text(std::uint64_t bytes) {
    constexpr std::array kUnits{"KiB", "MiB", "GiB", "TiB"};
    if (bytes < 1024) {
        return fmt::format("{} bytes", bytes);
    }
    double value = static_cast<double>(bytes) / 1024.0;
    std::size_t unit = 0;
    while (value >= 1023.95 && unit + 1 < kUnits.size()) {
        value /= 1024.0;
        ++unit;
    }
    return fmt::format("{:.1f} {}", value, kUnits.at(unit));
}

std::string room_text(const fs::path& path, std::uint64_t needed) {
    const std::optional<std::uint64_t> free = free_bytes(path);
    std::string text = needed > 0 ? "needs " + bytes_text(needed) : "";
    if (free) {
        text += (text.empty() ? "" : ", ") + bytes_text(*free) + " free";
    }
    return text;
}

}  // namespace eaveshed
