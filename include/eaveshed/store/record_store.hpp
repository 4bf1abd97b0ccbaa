// An append-only file of byte records found by their offset: what the plan keeps of shapes, so that memory does not
// grow with the basin.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <span>
#include <vector>

namespace eaveshed {

// Appending is for one thread; after `finish`, reading is safe from several at once.
class RecordStore {
public:
    // Creates the file; an existing one is replaced. Lack of room is a passing error, other failures are working
    // errors.
    explicit RecordStore(const std::filesystem::path& path);
    // In a file without a name, gone with the object.
    RecordStore();
    // One that was finished before, to be read.
    [[nodiscard]] static RecordStore finished(const std::filesystem::path& path);
    ~RecordStore();
    RecordStore(RecordStore&&) noexcept;
    RecordStore& operator=(RecordStore&&) noexcept;

    // Offset by which the record is found again.
    std::uint64_t append(std::span<const unsigned char> record);
    // Writes what is buffered.
    void finish();
    [[nodiscard]] std::vector<unsigned char> read(std::uint64_t offset) const;

private:
    friend class RecordReader;
    struct Impl;
    explicit RecordStore(std::unique_ptr<Impl> impl);
    std::unique_ptr<Impl> m_impl;
};

// For one who reads the records of a finished store in about the order in which they were written: reads ahead, so that
// many records cost one call of the system. One per thread; the store outlives it.
class RecordReader {
public:
    explicit RecordReader(const RecordStore& store) : m_store(&store) {}

    // Valid until the next call.
    [[nodiscard]] std::span<const unsigned char> read(std::uint64_t offset);

private:
    const RecordStore* m_store;
    std::uint64_t m_first = 0;  // offset of the window's first byte
    std::vector<unsigned char> m_window;
};

}  // namespace eaveshed
