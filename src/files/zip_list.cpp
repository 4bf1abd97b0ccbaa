#include "zip_list.hpp"

#include <algorithm>
#include <cstddef>
#include <filesystem>
#include <fstream>
#include <optional>
#include <string_view>

namespace eaveshed {

namespace {

constexpr std::size_t kEndBytes = 22;  // of the record at the end, without its comment
constexpr std::size_t kEntryBytes = 46;
constexpr std::size_t kLargestComment = 65535;
constexpr std::uint64_t kLargestDirectory = 16U << 20U;
constexpr std::string_view kEndMark("PK\x05\x06", 4);
constexpr std::string_view kEntryMark("PK\x01\x02", 4);

std::uint32_t number_at(std::string_view bytes, std::size_t at, std::size_t width) {
    std::uint32_t number = 0;
    for (std::size_t i = 0; i < width; ++i) {
        number |= static_cast<std::uint32_t>(static_cast<unsigned char>(bytes.at(at + i))) << (8U * i);
    }
    return number;
}

std::string bytes_of(const std::string& path, std::uint64_t begin, std::uint64_t count) {
    std::ifstream file(path, std::ios::binary);
    file.seekg(static_cast<std::streamoff>(begin));
    std::string bytes(count, '\0');
    file.read(bytes.data(), static_cast<std::streamsize>(count));
    bytes.resize(static_cast<std::size_t>(std::max<std::streamsize>(0, file.gcount())));
    return bytes;
}

// The bytes of the archive's directory.
std::string directory_of(const std::string& path) {
    std::error_code fault;
    const std::uint64_t size = std::filesystem::file_size(path, fault);
    if (fault || size < kEndBytes) {
        return {};
    }
    const std::uint64_t tail = std::min<std::uint64_t>(size, kEndBytes + kLargestComment);
    const std::string end = bytes_of(path, size - tail, tail);
    const std::size_t at = end.rfind(kEndMark);
    if (at == std::string::npos || at + kEndBytes > end.size()) {
        return {};
    }
    const std::uint64_t bytes = number_at(end, at + 12, 4);
    const std::uint64_t begin = number_at(end, at + 16, 4);
    return bytes <= kLargestDirectory && begin + bytes <= size ? bytes_of(path, begin, bytes) : std::string();
}

bool leads_out(const std::string& name) {
    const std::filesystem::path path(name);
    return path.is_absolute() || name.find('\\') != std::string::npos ||
           std::any_of(path.begin(), path.end(), [](const auto& part) { return part == ".."; });
}

}  // namespace

ZipList zip_list(const std::string& path) {
    const std::string directory = directory_of(path);
    const std::string_view bytes = directory;
    ZipList list;
    for (std::size_t at = 0; at + kEntryBytes <= bytes.size() && bytes.substr(at, 4) == kEntryMark;) {
        const std::size_t name_length = number_at(bytes, at + 28, 2);
        if (at + kEntryBytes + name_length > bytes.size()) {
            break;
        }
        const std::string name(bytes.substr(at + kEntryBytes, name_length));
        list.unpacked_bytes += number_at(bytes, at + 24, 4);
        if (list.leading_out.empty() && leads_out(name)) {
            list.leading_out = name;
        }
        if (!name.empty() && name.back() != '/') {
            list.names.push_back(name);
        }
        at += kEntryBytes + name_length + number_at(bytes, at + 30, 2) + number_at(bytes, at + 32, 2);
    }
    return list;
}

}  // namespace eaveshed
