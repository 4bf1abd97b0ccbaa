// Memory that counts what is asked of it.
#pragma once

#include <algorithm>
#include <cstddef>
#include <memory_resource>

namespace eaveshed::testing {

class CountingMemory final : public std::pmr::memory_resource {
public:
    [[nodiscard]] std::size_t bytes() const { return m_bytes; }
    [[nodiscard]] std::size_t most_bytes() const { return m_most; }

private:
    void* do_allocate(std::size_t bytes, std::size_t alignment) override {
        m_bytes += bytes;
        m_most = std::max(m_most, m_bytes);
        return std::pmr::new_delete_resource()->allocate(bytes, alignment);
    }
    void do_deallocate(void* block, std::size_t bytes, std::size_t alignment) override {
        m_bytes -= bytes;
        std::pmr::new_delete_resource()->deallocate(block, bytes, alignment);
    }
    [[nodiscard]] bool do_is_equal(const std::pmr::memory_resource& other) const noexcept override {
        return this == &other;
    }

    std::size_t m_bytes = 0;
    std::size_t m_most = 0;
};

}  // namespace eaveshed::testing
