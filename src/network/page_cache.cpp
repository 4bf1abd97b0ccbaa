#include "page_cache.hpp"

#include <algorithm>

namespace eaveshed {

namespace {

constexpr std::size_t kMostPages = 512;  // 8 MiB

}  // namespace

PageCache& PageCache::all() {
    static auto* const one = new PageCache;
    return *one;
}

std::uint32_t PageCache::new_file() {
    const std::scoped_lock lock(m_mutex);
    return m_files++;
}

void PageCache::forget(std::uint32_t file) {
    const std::scoped_lock lock(m_mutex);
    for (auto page = m_pages.begin(); page != m_pages.end();) {
        if (page->key >= key_of(file, 0) && page->key < key_of(file + 1, 0)) {
            m_by_key.erase(page->key);
            page = m_pages.erase(page);
        } else {
            ++page;
        }
    }
}

std::size_t PageCache::read(std::uint32_t file, std::uint64_t offset, std::span<unsigned char> bytes) {
    const std::scoped_lock lock(m_mutex);
    const auto found = m_by_key.find(key_of(file, offset / kPageBytes));
    const std::uint64_t within = offset % kPageBytes;
    if (found == m_by_key.end() || within >= found->second->bytes.size()) {
        return 0;
    }
    m_pages.splice(m_pages.begin(), m_pages, found->second);
    const std::vector<unsigned char>& page = found->second->bytes;
    const std::size_t count = std::min<std::size_t>(bytes.size(), page.size() - within);
    std::copy_n(page.begin() + static_cast<std::ptrdiff_t>(within), count, bytes.begin());
    return count;
}

void PageCache::put(std::uint32_t file, std::uint64_t page, std::span<const unsigned char> bytes) {
    const std::scoped_lock lock(m_mutex);
    for (std::uint64_t begin = 0; begin < bytes.size(); begin += kPageBytes, ++page) {
        const auto part = bytes.subspan(begin, std::min<std::uint64_t>(kPageBytes, bytes.size() - begin));
        const std::uint64_t key = key_of(file, page);
        if (const auto found = m_by_key.find(key); found != m_by_key.end()) {
            m_pages.erase(found->second);
        }
        m_pages.push_front({key, {part.begin(), part.end()}});
        m_by_key[key] = m_pages.begin();
    }
    while (m_pages.size() > kMostPages) {
        m_by_key.erase(m_pages.back().key);
        m_pages.pop_back();
    }
}

}  // namespace eaveshed
