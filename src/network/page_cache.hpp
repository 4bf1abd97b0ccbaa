// The beginnings, ends and indexes of remote files, which are read in little pieces again and again; and what was read
// ahead. Private to the module.
#pragma once

#include <cstddef>
#include <cstdint>
#include <list>
#include <mutex>
#include <span>
#include <unordered_map>
#include <vector>

namespace eaveshed {

inline constexpr std::uint64_t kPageBytes = std::uint64_t{1} << 14U;

// Of the whole process, and bounded: the least recently used page goes first. Safe from several threads.
class PageCache {
public:
    static PageCache& all();

    // A number for a file of its own.
    [[nodiscard]] std::uint32_t new_file();
    void forget(std::uint32_t file);

    // Copies from the page that holds `offset`, up to its end; 0 when it is not kept.
    std::size_t read(std::uint32_t file, std::uint64_t offset, std::span<unsigned char> bytes);

    // Bytes from the beginning of `page` on; the last page of a file may be a short one.
    void put(std::uint32_t file, std::uint64_t page, std::span<const unsigned char> bytes);

private:
    struct Page {
        std::uint64_t key = 0;
        std::vector<unsigned char> bytes;
    };
    static std::uint64_t key_of(std::uint32_t file, std::uint64_t page) {
        constexpr unsigned kPageBits = 40;  // files of 16 PiB
        return (static_cast<std::uint64_t>(file) << kPageBits) | page;
    }

    std::mutex m_mutex;
    std::uint32_t m_files = 0;
    std::list<Page> m_pages;  // the last used first
    std::unordered_map<std::uint64_t, std::list<Page>::iterator> m_by_key;
};

}  // namespace eaveshed
