// What is as large as the ground lies in the memory that the ground lies in.
#include <gtest/gtest.h>

#include <algorithm>

#include "eaveshed/flow/accumulation.hpp"
#include "eaveshed/flow/block_mean.hpp"
#include "eaveshed/flow/derived_streams.hpp"
#include "eaveshed/flow/fill.hpp"
#include "eaveshed/flow/ways_to_stream.hpp"
#include "flow/ground.hpp"
#include "support/counting_memory.hpp"

namespace eaveshed {
namespace {

using testing::CountingMemory;

constexpr std::int64_t kSide = 120;

Surface<float> filled_ground(std::pmr::memory_resource* memory) {
    testing::RandomNumbers random(77);
    Surface<float> fine{testing::plain_grid(2 * kSide, 2 * kSide), {}};
    for (std::int64_t i = 0; i < fine.grid.rows * fine.grid.cols; ++i) {
        fine.elev_m.push_back(static_cast<float>(random.whole(0, 40)));
    }
    BlockMean<float> mean(fine.grid, fine.grid.cells(), {2, 2}, memory);
    mean.add(mean.parts_of(fine.grid.cells(), fine.elev_m));
    Surface<float> surface = mean.take();
    fill_depressions(surface);
    return surface;
}

struct Led {
    explicit Led(std::pmr::memory_resource* memory) : surface(filled_ground(memory)) {}

    Surface<float> surface;
    FlowDirections directions = flow_directions(surface, sides_in_plane(surface.grid, 1.0));
    Accumulation sums = accumulate(directions);
    std::pmr::vector<std::uint32_t> catchments =
        WaysToStream(
            FlowDirections(directions.grid, directions.sides, {directions.ways, directions.ways.get_allocator()}),
            channel_of(derive_streams(directions, sums, 200.0)))
            .catchments();
};

TEST(LargeArrays, LieWhereTheGroundLiesAndHoldTheSame) {
    CountingMemory memory;
    constexpr std::size_t kCells = kSide * kSide;
    static_cast<void>(filled_ground(&memory));
    EXPECT_GE(memory.most_bytes(), 2 * sizeof(float) * kCells);  // filling takes the elevations once more
    const auto on_heap = std::pmr::get_default_resource();
    {
        const Led there(&memory);
        const Led here(on_heap);
        EXPECT_TRUE(std::ranges::equal(there.surface.elev_m, here.surface.elev_m));
        EXPECT_TRUE(std::ranges::equal(there.directions.ways, here.directions.ways));
        EXPECT_TRUE(std::ranges::equal(there.sums.cells, here.sums.cells));
        EXPECT_TRUE(std::ranges::equal(there.catchments, here.catchments));
        EXPECT_EQ(there.surface.elev_m.get_allocator().resource(), &memory);
        EXPECT_EQ(there.directions.ways.get_allocator().resource(), &memory);
        EXPECT_EQ(there.sums.cells.get_allocator().resource(), &memory);
        EXPECT_EQ(there.catchments.get_allocator().resource(), &memory);
        constexpr std::size_t kBytesThatStay = 4 + 1 + 4 + 4;
        EXPECT_GE(memory.bytes(), kBytesThatStay * kCells);
    }
    EXPECT_EQ(memory.bytes(), 0U);
}

}  // namespace
}  // namespace eaveshed
