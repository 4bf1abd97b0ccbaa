#include "eaveshed/blocks/block_cache.hpp"

#include <algorithm>
#include <atomic>
#include <chrono>
#include <stdexcept>
#include <thread>

#include <gtest/gtest.h>

namespace eaveshed {
namespace {

RasterBlock block_of(float value, std::size_t cells = 1000) {
    RasterBlock block;
    block.singles.assign(cells, value);
    block.cols = static_cast<std::int64_t>(cells);
    return block;
}

void ones(RasterBlock& block) {
    block = block_of(1.0F);
}

const std::size_t kBlockBytes = block_of(0.0F).bytes();

TEST(BlockCache, ABlockIsDecodedOnceAndThenFound) {
    BlockCache cache(10 * kBlockBytes);
    const BlockKey key{cache.new_source(), 3, 7};
    int calls = 0;
    const auto decode = [&](RasterBlock& block) {
        ++calls;
        block = block_of(5.0F);
    };
    const BlockCache::Block first = cache.get(key, decode);
    EXPECT_EQ(first->singles.front(), 5.0F);
    EXPECT_EQ(cache.get(key, decode), first);
    EXPECT_EQ(calls, 1);
    EXPECT_EQ(cache.counts().decoded, 1U);
    EXPECT_EQ(cache.counts().by_gdal, 1U);
    EXPECT_EQ(cache.counts().direct, 0U);
}

TEST(BlockCache, SourcesMembersAndBlocksAreToldApart) {
    BlockCache cache(100 * kBlockBytes);
    const std::uint32_t a = cache.new_source();
    const std::uint32_t b = cache.new_source();
    float next = 0.0F;
    const auto decode = [&](RasterBlock& block) { block = block_of(next++); };
    for (const BlockKey& key : {BlockKey{a, 0, 0}, BlockKey{b, 0, 0}, BlockKey{a, 1, 0}, BlockKey{a, 0, 1}}) {
        (void)cache.get(key, decode);
    }
    EXPECT_EQ(cache.counts().decoded, 4U);
    EXPECT_EQ(cache.get({a, 1, 0}, decode)->singles.front(), 2.0F);
}

TEST(BlockCache, TheLeastRecentlyUsedGoesFirst) {
    BlockCache cache(2 * kBlockBytes);
    const std::uint32_t source = cache.new_source();
    const auto get = [&](std::uint64_t block) { (void)cache.get({source, 0, block}, ones); };
    get(1);
    get(2);
    get(1);
    get(3);  // 2 goes
    EXPECT_LE(cache.bytes(), 2 * kBlockBytes);
    get(1);
    EXPECT_EQ(cache.counts().decoded, 3U);
    EXPECT_EQ(cache.counts().again, 0U);
    get(2);
    EXPECT_EQ(cache.counts().decoded, 4U);
    EXPECT_EQ(cache.counts().again, 1U);
}

TEST(BlockCache, ABlockGoesWithItsLastAnnouncedUser) {
    BlockCache cache(100 * kBlockBytes);
    const BlockKey key{cache.new_source(), 0, 0};
    const BlockKey unannounced{key.source, 0, 1};
    const auto decode = ones;
    cache.expect({key});
    cache.expect({key});
    (void)cache.get(key, decode);
    (void)cache.get(unannounced, decode);
    cache.done({key, unannounced});
    EXPECT_EQ(cache.bytes(), 2 * kBlockBytes);
    cache.done({key});
    EXPECT_EQ(cache.bytes(), kBlockBytes);
    (void)cache.get(unannounced, decode);
    EXPECT_EQ(cache.counts().decoded, 2U);
}

TEST(BlockCache, ABlockLargerThanTheLimitIsHandedOutAndNotKept) {
    BlockCache cache(10);
    const BlockKey key{cache.new_source(), 0, 0};
    const BlockCache::Block block = cache.get(key, [](RasterBlock& fours) { fours = block_of(4.0F); });
    EXPECT_EQ(block->singles.back(), 4.0F);
    EXPECT_EQ(cache.bytes(), 0U);
}

TEST(BlockCache, ALowerLimitLetsBlocksGo) {
    BlockCache cache(3 * kBlockBytes);
    const std::uint32_t source = cache.new_source();
    for (std::uint64_t number = 0; number < 3; ++number) {
        (void)cache.get({source, 0, number}, ones);
    }
    cache.limit_to(kBlockBytes);
    EXPECT_EQ(cache.bytes(), kBlockBytes);
    (void)cache.get({source, 0, 2}, ones);  // the last used
    EXPECT_EQ(cache.counts().decoded, 3U);
}

TEST(BlockCache, ABlockThatNobodyHoldsIsDecodedInto) {
    BlockCache cache(kBlockBytes);
    const std::uint32_t source = cache.new_source();
    const float* numbers = cache.get({source, 0, 0}, ones)->singles.data();
    const BlockCache::Block held = cache.get({source, 0, 1}, ones);
    const auto refill = [](RasterBlock& block) { std::ranges::fill(block.singles, 6.0F); };
    const BlockCache::Block third = cache.get({source, 0, 2}, refill);
    EXPECT_EQ(third->singles.data(), numbers);
    EXPECT_EQ(third->singles.back(), 6.0F);
    EXPECT_EQ(held->singles.back(), 1.0F);
}

TEST(BlockCache, OthersWaitForTheOneThatDecodes) {
    BlockCache cache(100 * kBlockBytes);
    const BlockKey key{cache.new_source(), 0, 0};
    std::atomic<int> arrived{0};
    std::atomic<int> calls{0};
    const auto decode = [&](RasterBlock& block) {
        ++calls;
        while (arrived < 4) {
            std::this_thread::yield();
        }
        std::this_thread::sleep_for(std::chrono::milliseconds(20));  // time for the others to come and look
        block = block_of(2.0F);
    };
    std::atomic<int> right{0};
    {
        std::vector<std::jthread> threads;
        for (int i = 0; i < 4; ++i) {
            threads.emplace_back([&] {
                ++arrived;
                right += cache.get(key, decode)->singles.front() == 2.0F ? 1 : 0;
            });
        }
    }
    EXPECT_EQ(right, 4);
    EXPECT_EQ(calls, 1);
}

TEST(BlockCache, AFailureIsItsOwnCallersAndLeavesThePlaceFree) {
    BlockCache cache(100 * kBlockBytes);
    const BlockKey key{cache.new_source(), 0, 0};
    EXPECT_THROW((void)cache.get(key, [](RasterBlock&) { throw std::runtime_error("no"); }), std::runtime_error);
    EXPECT_EQ(cache.get(key, [](RasterBlock& block) { block = block_of(3.0F); })->singles.front(), 3.0F);
    EXPECT_EQ(cache.counts().decoded, 1U);
}

}  // namespace
}  // namespace eaveshed
