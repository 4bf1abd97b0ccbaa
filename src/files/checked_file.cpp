#include "eaveshed/files/checked_file.hpp"

#include <algorithm>
#include <string>

#include "eaveshed/core/error.hpp"
#include "sha256.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kDigestChars = 64;

std::span<const unsigned char> bytes_of(const std::string& text) {
    return {reinterpret_cast<const unsigned char*>(text.data()), text.size()};
}

}  // namespace

struct CheckedWriter::Impl {
    explicit Impl(const std::filesystem::path& path) : file(path, File::Mode::create) {}
    File file;
    Sha256 sum;
    std::uint64_t size = 0;
};

CheckedWriter::CheckedWriter(const std::filesystem::path& path) : m_impl(std::make_unique<Impl>(path)) {}
CheckedWriter::~CheckedWriter() = default;

void CheckedWriter::write(std::span<const unsigned char> bytes) {
    m_impl->sum.add(bytes);
    m_impl->file.write_at(m_impl->size, bytes);
    m_impl->size += bytes.size();
}

void CheckedWriter::finish() {
    const std::string digest = m_impl->sum.hex();
    m_impl->file.write_at(m_impl->size, bytes_of(digest));
}

CheckedReader::CheckedReader(const std::filesystem::path& path) : m_file(path, File::Mode::read) {
    constexpr std::uint64_t kAtOnce = std::uint64_t{1} << 20U;
    const std::uint64_t all = m_file.size();
    m_size = all < kDigestChars ? 0 : all - kDigestChars;
    Sha256 sum;
    std::vector<unsigned char> bytes;
    for (std::uint64_t at = 0; at < m_size; at += bytes.size()) {
        bytes.resize(static_cast<std::size_t>(std::min(kAtOnce, m_size - at)));
        m_file.read_at(at, bytes);
        sum.add(bytes);
    }
    bytes.resize(static_cast<std::size_t>(all - m_size));
    m_file.read_at(m_size, bytes);
    if (!std::ranges::equal(bytes, bytes_of(sum.hex()))) {
        throw working_error(path.string(), "a file of a plan with a checksum that does not fit",
                            "the file as it was written", "copy it again, or make the plan again");
    }
}

void write_checked(const std::filesystem::path& path, std::span<const unsigned char> bytes) {
    CheckedWriter file(path);
    file.write(bytes);
    file.finish();
}

std::vector<unsigned char> read_checked(const std::filesystem::path& path) {
    const CheckedReader file(path);
    std::vector<unsigned char> bytes(static_cast<std::size_t>(file.size()));
    file.read_at(0, bytes);
    return bytes;
}

}  // namespace eaveshed
