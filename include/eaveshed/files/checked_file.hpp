// Work files with a checksum at their end: what a copy cut short is known by.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <span>
#include <vector>

#include "eaveshed/files/file.hpp"

namespace eaveshed {

// Replaces the file.
void write_checked(const std::filesystem::path& path, std::span<const unsigned char> bytes);
// What was written. Another checksum is a working error that names the file.
[[nodiscard]] std::vector<unsigned char> read_checked(const std::filesystem::path& path);

// The same file written piece by piece, for what does not fit into memory.
class CheckedWriter {
public:
    explicit CheckedWriter(const std::filesystem::path& path);
    ~CheckedWriter();
    CheckedWriter(const CheckedWriter&) = delete;
    CheckedWriter& operator=(const CheckedWriter&) = delete;
    void write(std::span<const unsigned char> bytes);
    // After the last piece.
    void finish();

private:
    struct Impl;
    std::unique_ptr<Impl> m_impl;
};

// And read so: the checksum is that of the whole file, when it is opened.
class CheckedReader {
public:
    explicit CheckedReader(const std::filesystem::path& path);
    // Without the checksum.
    [[nodiscard]] std::uint64_t size() const { return m_size; }
    void read_at(std::uint64_t offset, std::span<unsigned char> bytes) const { m_file.read_at(offset, bytes); }

private:
    File m_file;
    std::uint64_t m_size = 0;
};

}  // namespace eaveshed
