#include "eaveshed/files/spill_memory.hpp"

namespace eaveshed {

void* SpillMemory::do_allocate(std::size_t bytes, std::size_t alignment) {
    if (!spills(bytes)) {
        return std::pmr::new_delete_resource()->allocate(bytes, alignment);
    }
    SpillBytes block(m_folder);  // whole pages: aligned for whatever it is
    block.grow(bytes);
    void* const begin = block.data();
    const std::scoped_lock lock(m_mutex);
    m_blocks.emplace(begin, std::move(block));
    return begin;
}

void SpillMemory::do_deallocate(void* block, std::size_t bytes, std::size_t alignment) {
    if (!spills(bytes)) {
        std::pmr::new_delete_resource()->deallocate(block, bytes, alignment);
        return;
    }
    const std::scoped_lock lock(m_mutex);
    m_blocks.erase(block);
}

}  // namespace eaveshed
