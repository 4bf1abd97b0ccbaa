#include "eaveshed/io/record_store.hpp"

#include <array>
#include <cstring>

#include "eaveshed/core/error.hpp"
#include "eaveshed/io/file.hpp"

namespace eaveshed::io {

namespace {

constexpr std::size_t kBufferBytes = std::size_t{1} << 20U;
constexpr std::uint32_t kLargestRecord = 1U << 30U;

}  // namespace

struct RecordStore::Impl {
    explicit Impl(const std::filesystem::path& path) : file(path, File::Mode::create) {}
    File file;
    std::uint64_t written = 0;  // bytes in the file
    std::vector<unsigned char> buffer;
};

RecordStore::RecordStore(const std::filesystem::path& path) : m_impl(std::make_unique<Impl>(path)) {}
RecordStore::~RecordStore() = default;
RecordStore::RecordStore(RecordStore&&) noexcept = default;
RecordStore& RecordStore::operator=(RecordStore&&) noexcept = default;

std::uint64_t RecordStore::append(std::span<const unsigned char> record) {
    if (record.size() > kLargestRecord) {
        throw working_error("work file", "a shape of over 1 GiB", "", "simplify that feature");
    }
    const std::uint64_t offset = m_impl->written + m_impl->buffer.size();
    const auto size = static_cast<std::uint32_t>(record.size());
    std::array<unsigned char, sizeof size> head{};
    std::memcpy(head.data(), &size, sizeof size);
    m_impl->buffer.insert(m_impl->buffer.end(), head.begin(), head.end());
    m_impl->buffer.insert(m_impl->buffer.end(), record.begin(), record.end());
    if (m_impl->buffer.size() >= kBufferBytes) {
        finish();
    }
    return offset;
}

void RecordStore::finish() {
    m_impl->file.write_at(m_impl->written, m_impl->buffer);
    m_impl->written += m_impl->buffer.size();
    m_impl->buffer.clear();
}

std::vector<unsigned char> RecordStore::read(std::uint64_t offset) const {
    std::array<unsigned char, sizeof(std::uint32_t)> head{};
    m_impl->file.read_at(offset, head);
    std::uint32_t size = 0;
    std::memcpy(&size, head.data(), sizeof size);
    if (size > kLargestRecord) {
        throw working_error("work file", "a damaged record", "", "run again; the work folder can be deleted");
    }
    std::vector<unsigned char> record(size);
    m_impl->file.read_at(offset + head.size(), record);
    return record;
}

}  // namespace eaveshed::io
