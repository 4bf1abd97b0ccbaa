#include "eaveshed/files/spill_array.hpp"

#include <fcntl.h>
#include <sys/mman.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <new>
#include <string>

#include "system_failure.hpp"

namespace eaveshed {

namespace {

constexpr std::size_t kLeastBytes = 256;

std::size_t whole_pages(std::size_t bytes) {
    static const auto page = static_cast<std::size_t>(::sysconf(_SC_PAGESIZE));
    return (bytes + page - 1) / page * page;
}

// Gone when it is closed, however the process ends.
int unnamed_file_in(const std::filesystem::path& folder) {
    std::string path = (folder / "array-XXXXXX").string();
    const int descriptor = ::mkostemp(path.data(), O_CLOEXEC);
    if (descriptor < 0) {
        fail_by_errno(path, "cannot be created");
    }
    ::unlink(path.c_str());
    return descriptor;
}

}  // namespace

SpillBytes::~SpillBytes() {
    if (m_descriptor >= 0) {
        ::munmap(m_data, m_capacity);
        ::close(m_descriptor);
    } else {
        std::free(m_data);
    }
}

void SpillBytes::swap(SpillBytes& other) noexcept {
    std::swap(m_folder, other.m_folder);
    std::swap(m_data, other.m_data);
    std::swap(m_capacity, other.m_capacity);
    std::swap(m_descriptor, other.m_descriptor);
}

void SpillBytes::grow(std::size_t capacity) {
    if (capacity <= m_capacity) {
        return;
    }
    if (m_descriptor >= 0 || (capacity > kInMemoryBytes && !m_folder.empty())) {
        map(whole_pages(capacity));
        return;
    }
    const std::size_t bytes = std::max(capacity, kLeastBytes);
    void* const moved = std::realloc(m_data, bytes);
    if (moved == nullptr) {
        throw std::bad_alloc();
    }
    m_data = moved;
    m_capacity = bytes;
}

void SpillBytes::map(std::size_t capacity) {
    const bool first = m_descriptor < 0;
    const int descriptor = first ? unnamed_file_in(m_folder) : m_descriptor;
    // Room that is promised now: a page without any would end the process when it is written to.
    if (const int code = ::posix_fallocate(descriptor, 0, static_cast<off_t>(capacity)); code != 0) {
        if (first) {
            ::close(descriptor);
        }
        errno = code;
        fail_by_errno(m_folder, "has no room for an array of the run");
    }
    void* const mapped = first ? ::mmap(nullptr, capacity, PROT_READ | PROT_WRITE, MAP_SHARED, descriptor, 0)
                               : ::mremap(m_data, m_capacity, capacity, MREMAP_MAYMOVE);
    if (mapped == MAP_FAILED) {
        if (first) {
            ::close(descriptor);
        }
        throw std::bad_alloc();
    }
    if (first) {
        if (m_capacity > 0) {
            std::memcpy(mapped, m_data, m_capacity);
        }
        std::free(m_data);
    }
    m_data = mapped;
    m_capacity = capacity;
    m_descriptor = descriptor;
    rest();
}

void SpillBytes::rest() const {
    if (m_descriptor >= 0) {
        ::madvise(m_data, m_capacity, MADV_DONTNEED);  // of a shared mapping: its pages stay in the file
    }
}

}  // namespace eaveshed
