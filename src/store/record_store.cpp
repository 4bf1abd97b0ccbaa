#include "eaveshed/store/record_store.hpp"

#include <algorithm>
#include <array>
#include <cstring>
#include <utility>

#include "eaveshed/core/error.hpp"
#include "eaveshed/files/file.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kBufferBytes = std::size_t{1} << 20U;
constexpr std::uint32_t kLargestRecord = 1U << 30U;

using Head = std::uint32_t;  // before every record: its size

std::size_t size_in(std::span<const unsigned char> head) {
    Head size = 0;
    std::memcpy(&size, head.data(), sizeof size);
    if (size > kLargestRecord) {
        throw working_error("work file", "a damaged record", "", "run again; the work folder can be deleted");
    }
    return size;
}

}  // namespace

struct RecordStore::Impl {
    explicit Impl(File file_) : file(std::move(file_)) {}
    File file;
    std::uint64_t written = 0;  // bytes in the file
    std::vector<unsigned char> buffer;
};

RecordStore::RecordStore(const std::filesystem::path& path)
    : m_impl(std::make_unique<Impl>(File(path, File::Mode::create))) {}
RecordStore::RecordStore() : m_impl(std::make_unique<Impl>(File::unnamed())) {}
RecordStore::RecordStore(std::unique_ptr<Impl> impl) : m_impl(std::move(impl)) {}
RecordStore::~RecordStore() = default;
RecordStore::RecordStore(RecordStore&&) noexcept = default;
RecordStore& RecordStore::operator=(RecordStore&&) noexcept = default;

RecordStore RecordStore::finished(const std::filesystem::path& path) {
    return RecordStore(std::make_unique<Impl>(File(path, File::Mode::read)));
}

std::uint64_t RecordStore::append(std::span<const unsigned char> record) {
    if (record.size() > kLargestRecord) {
        throw working_error("work file", "a shape of over 1 GiB", "", "simplify that feature");
    }
    const std::uint64_t offset = m_impl->written + m_impl->buffer.size();
    const auto size = static_cast<Head>(record.size());
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
    // Most records are shorter than this: one call of the system for head and record.
    constexpr std::size_t kGuess = 1024;
    std::array<unsigned char, kGuess> start{};
    const std::size_t got = m_impl->file.read_some(offset, start);
    if (got < sizeof(Head)) {
        m_impl->file.read_at(offset, std::span(start).first(sizeof(Head)));  // says that the file is too short
    }
    std::vector<unsigned char> record(size_in(start));
    const std::size_t here = std::min(record.size(), got - sizeof(Head));
    std::copy_n(start.begin() + sizeof(Head), here, record.begin());
    m_impl->file.read_at(offset + sizeof(Head) + here, std::span(record).subspan(here));
    return record;
}

std::span<const unsigned char> RecordReader::read(std::uint64_t offset) {
    constexpr std::size_t kAhead = std::size_t{1} << 16U;
    const File& file = m_store->m_impl->file;
    // The next `bytes` from the offset on, read ahead unless they are there.
    const auto need = [&](std::size_t bytes) {
        if (offset >= m_first && offset - m_first + bytes <= m_window.size()) {
            return std::span<const unsigned char>(m_window).subspan(offset - m_first, bytes);
        }
        m_window.resize(std::max(bytes, kAhead));
        m_first = offset;
        m_window.resize(file.read_some(offset, m_window));
        if (m_window.size() < bytes) {
            std::vector<unsigned char> rest(bytes);
            file.read_at(offset, rest);  // says that the file is too short
        }
        return std::span<const unsigned char>(m_window).first(bytes);
    };
    const std::size_t size = size_in(need(sizeof(Head)));
    return need(sizeof(Head) + size).subspan(sizeof(Head));
}

}  // namespace eaveshed
