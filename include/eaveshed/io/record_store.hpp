// An append-only file of byte records found by their offset: what the plan keeps of shapes, so that memory does not
// grow with the basin.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <span>
#include <vector>

namespace eaveshed::io {

// Appending is for one thread; after `finish`, reading is safe from several at once.
class RecordStore {
public:
    // Creates the file; an existing one is replaced. Lack of room is a passing error, other failures are working
    // errors.
    explicit RecordStore(const std::filesystem::path& path);
    ~RecordStore();
    RecordStore(RecordStore&&) noexcept;
    RecordStore& operator=(RecordStore&&) noexcept;

    // Offset by which the record is found again.
    std::uint64_t append(std::span<const unsigned char> record);
    // Writes what is buffered.
    void finish();
    [[nodiscard]] std::vector<unsigned char> read(std::uint64_t offset) const;

private:
    struct Impl;
    std::unique_ptr<Impl> m_impl;
};

}  // namespace eaveshed::io
