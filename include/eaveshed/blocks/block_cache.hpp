// Decoded blocks of rasters, shared by all workers of a run: each is decoded by one of them while the others that want
// it wait, kept while tiles to come may need it, and counted.
#pragma once

#include <compare>
#include <condition_variable>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <list>
#include <memory>
#include <mutex>
#include <unordered_map>
#include <unordered_set>
#include <vector>

namespace eaveshed {

// The numbers of one block as stored in the file, row-major in the file's order of rows, NaN where missing. As single
// precision where that holds every number of the file exactly, else as double: one of the two is empty.
struct RasterBlock {
    std::vector<float> singles;
    std::vector<double> doubles;
    std::int64_t cols = 0;
    bool damaged = false;  // could not be read: both are empty
    bool direct = false;   // decoded without GDAL

    [[nodiscard]] std::size_t bytes() const {
        return singles.size() * sizeof(float) + doubles.size() * sizeof(double) + sizeof(RasterBlock);
    }
};

struct BlockKey {
    std::uint32_t source = 0;  // as BlockCache::new_source gave it
    std::uint32_t member = 0;  // of the source's files
    std::uint64_t block = 0;   // of the member, row-major
    friend auto operator<=>(const BlockKey&, const BlockKey&) = default;
};

// A few blocks that nobody holds any more, for the next ones to be decoded into. Thread-safe.
class BlockSpares {
public:
    [[nodiscard]] std::unique_ptr<RasterBlock> take();
    void give(std::unique_ptr<RasterBlock> block);

private:
    static constexpr std::size_t kMost = 2;
    std::mutex m_mutex;
    std::vector<std::unique_ptr<RasterBlock>> m_blocks;
};

// How often blocks were decoded; `again`: of these, blocks that had been before.
struct BlockCounts {
    std::uint64_t decoded = 0;
    std::uint64_t again = 0;
    std::uint64_t direct = 0;
    std::uint64_t by_gdal = 0;
};

// Thread-safe.
class BlockCache {
public:
    using Block = std::shared_ptr<const RasterBlock>;

    // Above so many bytes the blocks used least recently are let go, whoever may still need them. What workers hold in
    // their hands comes on top.
    explicit BlockCache(std::size_t limit_bytes) : m_limit_bytes(limit_bytes) {}
    void limit_to(std::size_t limit_bytes);

    [[nodiscard]] std::uint32_t new_source();
    // The block, decoded by this call or by another thread's. `decode` fills a block that may hold the numbers of one
    // that was let go: memory that need not be asked for again. What it throws is thrown to its own caller; another
    // that waits then tries for itself. It must not ask this cache.
    using Decode = std::function<void(RasterBlock&)>;
    [[nodiscard]] Block get(const BlockKey& key, const Decode& decode);

    // Announces that one more user may come for these blocks, and that one is done with them. A block whose last
    // announced user is done is let go; one that nobody announced stays as long as there is room.
    void expect(const std::vector<BlockKey>& keys);
    void done(const std::vector<BlockKey>& keys);

    [[nodiscard]] BlockCounts counts() const;
    [[nodiscard]] std::size_t bytes() const;

private:
    struct Hash {
        std::size_t operator()(const BlockKey& key) const;
    };
    struct Entry {
        Block block;  // null while it is being decoded
        std::list<BlockKey>::iterator use;
    };
    using Entries = std::unordered_map<BlockKey, Entry, Hash>;

    Block decoded(const BlockKey& key, const Decode& decode);
    void keep(const BlockKey& key, const Block& block);
    void drop(Entries::iterator entry);
    void drop_beyond_limit();

    std::size_t m_limit_bytes;
    std::shared_ptr<BlockSpares> m_spares = std::make_shared<BlockSpares>();
    mutable std::mutex m_mutex;
    std::condition_variable m_settled;  // some block was decoded, or could not be
    Entries m_entries;
    std::list<BlockKey> m_uses;  // of decoded blocks, the last used first
    std::unordered_map<BlockKey, std::uint32_t, Hash> m_expected;
    std::unordered_set<BlockKey, Hash> m_seen;
    std::size_t m_bytes = 0;
    std::uint32_t m_sources = 0;
    BlockCounts m_counts;
};

}  // namespace eaveshed
