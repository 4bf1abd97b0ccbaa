// Memory for arrays that may outgrow it, for who asks for it through the standard's interface: computation that knows
// of no files.
#pragma once

#include <cstddef>
#include <filesystem>
#include <map>
#include <memory_resource>
#include <mutex>

#include "eaveshed/files/spill_array.hpp"

namespace eaveshed {

// Blocks of more than SpillBytes::kInMemoryBytes lie in files without a name in the folder, mapped into memory; smaller
// ones, and all without a folder, on the heap. Lack of room on the disk is a passing error, and told when the block is
// asked for. Safe to use from several threads; outlives what it gave.
class SpillMemory final : public std::pmr::memory_resource {
public:
    explicit SpillMemory(std::filesystem::path folder) : m_folder(std::move(folder)) {}

private:
    [[nodiscard]] bool spills(std::size_t bytes) const {
        return bytes > SpillBytes::kInMemoryBytes && !m_folder.empty();
    }
    void* do_allocate(std::size_t bytes, std::size_t alignment) override;
    void do_deallocate(void* block, std::size_t bytes, std::size_t alignment) override;
    [[nodiscard]] bool do_is_equal(const std::pmr::memory_resource& other) const noexcept override {
        return this == &other;
    }

    std::filesystem::path m_folder;
    std::mutex m_mutex;
    std::map<void*, SpillBytes> m_blocks;  // in files, by where they begin
};

}  // namespace eaveshed
