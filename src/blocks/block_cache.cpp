#include "eaveshed/blocks/block_cache.hpp"

#include <utility>

#include "eaveshed/stop/stop.hpp"

namespace eaveshed {

std::unique_ptr<RasterBlock> BlockSpares::take() {
    const std::scoped_lock lock(m_mutex);
    if (m_blocks.empty()) {
        return std::make_unique<RasterBlock>();
    }
    std::unique_ptr<RasterBlock> block = std::move(m_blocks.back());
    m_blocks.pop_back();
    return block;
}

void BlockSpares::give(std::unique_ptr<RasterBlock> block) {
    const std::scoped_lock lock(m_mutex);
    if (m_blocks.size() < kMost) {
        m_blocks.push_back(std::move(block));
    }
}

std::size_t BlockCache::Hash::operator()(const BlockKey& key) const {
    constexpr std::uint64_t kMix = 0x9E3779B97F4A7C15ULL;  // 2^64 over the golden ratio
    std::uint64_t mixed = (key.block ^ (static_cast<std::uint64_t>(key.source) << 32U) ^ key.member * kMix) * kMix;
    mixed ^= mixed >> 32U;
    return static_cast<std::size_t>(mixed);
}

std::uint32_t BlockCache::new_source() {
    const std::scoped_lock lock(m_mutex);
    return m_sources++;
}

BlockCache::Block BlockCache::get(const BlockKey& key, const Decode& decode) {
    std::unique_lock lock(m_mutex);
    while (true) {
        const auto found = m_entries.find(key);
        if (found == m_entries.end()) {
            m_entries.emplace(key, Entry{});
            lock.unlock();
            return decoded(key, decode);
        }
        if (found->second.block != nullptr) {
            m_uses.splice(m_uses.begin(), m_uses, found->second.use);
            return found->second.block;
        }
        m_settled.wait(lock);
    }
}

// For a block whose place is taken by an entry without one.
BlockCache::Block BlockCache::decoded(const BlockKey& key, const Decode& decode) {
    try {
        stop_if_requested();
        std::unique_ptr<RasterBlock> fresh = m_spares->take();
        decode(*fresh);
        Block block(fresh.release(),
                    [spares = m_spares](RasterBlock* one) { spares->give(std::unique_ptr<RasterBlock>(one)); });
        keep(key, block);
        m_settled.notify_all();
        return block;
    } catch (...) {
        {
            const std::scoped_lock lock(m_mutex);
            m_entries.erase(key);
        }
        m_settled.notify_all();
        throw;
    }
}

void BlockCache::limit_to(std::size_t limit_bytes) {
    const std::scoped_lock lock(m_mutex);
    m_limit_bytes = limit_bytes;
    drop_beyond_limit();
}

void BlockCache::keep(const BlockKey& key, const Block& block) {
    const std::scoped_lock lock(m_mutex);
    ++m_counts.decoded;
    m_counts.again += m_seen.insert(key).second ? 0U : 1U;
    ++(block->direct ? m_counts.direct : m_counts.by_gdal);
    m_uses.push_front(key);
    Entry& entry = m_entries.at(key);
    entry.use = m_uses.begin();
    entry.block = block;
    m_bytes += block->bytes();
    drop_beyond_limit();
}

void BlockCache::drop_beyond_limit() {
    while (m_bytes > m_limit_bytes && !m_uses.empty()) {
        drop(m_entries.find(m_uses.back()));
    }
}

void BlockCache::drop(Entries::iterator entry) {
    m_bytes -= entry->second.block->bytes();
    m_uses.erase(entry->second.use);
    m_entries.erase(entry);
}

void BlockCache::expect(const std::vector<BlockKey>& keys) {
    const std::scoped_lock lock(m_mutex);
    for (const BlockKey& key : keys) {
        ++m_expected[key];
    }
}

void BlockCache::done(const std::vector<BlockKey>& keys) {
    const std::scoped_lock lock(m_mutex);
    for (const BlockKey& key : keys) {
        const auto expected = m_expected.find(key);
        if (expected == m_expected.end() || --expected->second > 0) {
            continue;
        }
        m_expected.erase(expected);
        const auto entry = m_entries.find(key);
        if (entry != m_entries.end() && entry->second.block != nullptr) {
            drop(entry);
        }
    }
}

BlockCounts BlockCache::counts() const {
    const std::scoped_lock lock(m_mutex);
    return m_counts;
}

std::size_t BlockCache::bytes() const {
    const std::scoped_lock lock(m_mutex);
    return m_bytes;
}

}  // namespace eaveshed
