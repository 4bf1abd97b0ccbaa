// A queue of cells by height for a flood that only rises.
#pragma once

#include <bit>
#include <concepts>
#include <cstdint>
#include <limits>
#include <memory_resource>
#include <utility>
#include <vector>

#include "eaveshed/flow/surface.hpp"

namespace eaveshed {

// A whole number in the order of the heights. NaN has no place in it; -0 and 0 are one.
[[nodiscard]] inline std::uint32_t height_key(float height) {
    const auto bits = std::bit_cast<std::uint32_t>(height + 0.0F);
    return (bits & 0x80000000U) != 0 ? ~bits : bits | 0x80000000U;
}

[[nodiscard]] inline std::uint64_t height_key(double height) {
    const auto bits = std::bit_cast<std::uint64_t>(height + 0.0);
    return (bits & 0x8000000000000000U) != 0 ? ~bits : bits | 0x8000000000000000U;
}

// The height again.
[[nodiscard]] inline float height_of(std::uint32_t key) {
    return std::bit_cast<float>((key & 0x80000000U) != 0 ? key ^ 0x80000000U : ~key);
}

[[nodiscard]] inline double height_of(std::uint64_t key) {
    return std::bit_cast<double>((key & 0x8000000000000000U) != 0 ? key ^ 0x8000000000000000U : ~key);
}

// No key may be pushed below the last one popped. A key lies in the bucket of the highest bit in which it differs from
// that one: it can only move to lower buckets, once a bit at most.
template <std::unsigned_integral Key>
class RadixHeap {
public:
    explicit RadixHeap(std::pmr::memory_resource* memory = std::pmr::get_default_resource()) {
        m_buckets.reserve(kBuckets);
        for (std::size_t i = 0; i < kBuckets; ++i) {
            m_buckets.emplace_back(memory);
        }
    }

    [[nodiscard]] bool empty() const { return m_size == 0; }

    void push(Key key, CellNumber cell) {
        m_buckets[bucket_of(key)].push_back({key, cell});
        ++m_size;
    }

    struct Item {
        Key key;
        CellNumber cell;
    };

    // A cell of the least key; not to be asked of an empty heap. soon(cell) is told of cells whose turn comes soon, so
    // that what is around them can be fetched meanwhile.
    template <typename Soon>
    Item pop(Soon&& soon) {
        if (m_buckets[0].empty()) {
            open_next(soon);
        }
        const Item item = m_buckets[0].back();
        m_buckets[0].pop_back();
        --m_size;
        return item;
    }

private:
    static constexpr std::size_t kFew = 64;
    static constexpr std::size_t kBuckets = std::numeric_limits<Key>::digits + 1;

    using Bucket = std::pmr::vector<Item>;

    [[nodiscard]] std::size_t bucket_of(Key key) const {
        return static_cast<std::size_t>(std::bit_width(key ^ m_last));
    }

    template <typename Soon>
    void open_next(Soon& soon) {
        std::size_t first = 1;
        while (m_buckets[first].empty()) {
            ++first;
        }
        Bucket items(m_buckets[first].get_allocator());
        items.swap(m_buckets[first]);
        m_last = items.front().key;
        for (const Item& item : items) {
            m_last = item.key < m_last ? item.key : m_last;
        }
        const bool few = items.size() <= kFew;
        for (const Item& item : items) {
            m_buckets[bucket_of(item.key)].push_back(item);
            if (few) {
                soon(item.cell);
            }
        }
        items.clear();
        m_buckets[first].swap(items);  // its room is used again
    }

    std::vector<Bucket> m_buckets;
    Key m_last = 0;
    std::size_t m_size = 0;
};

}  // namespace eaveshed
