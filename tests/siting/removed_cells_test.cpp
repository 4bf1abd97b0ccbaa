#include "eaveshed/siting/removed_cells.hpp"

#include <gtest/gtest.h>

#include "siting/random_site.hpp"

namespace eaveshed {
namespace {

using testing::random_world;
using testing::Site;
using testing::World;

TEST(RemovedCells, CountsEveryCellOnce) {
    for (std::uint64_t seed = 0; seed < 100; ++seed) {
        const World world = random_world(seed);
        const Site site(world);
        std::size_t removed = 0;
        for (const std::uint64_t count : removed_cells(site.pad_site(), world.rules, world.tanks)) {
            removed += count;
        }
        EXPECT_EQ(removed + site.all().size(), site.search().cell_count());
    }
}

TEST(RemovedCells, NamesTheRuleThatRemovedMostAndOfEqualsTheFirst) {
    EXPECT_EQ(main_reason({}), PadReason::elevation_gap);
    EXPECT_EQ(main_reason({0, 3, 1, 0, 0, 0, 0, 0, 0, 4}), PadReason::feed_lift);
    EXPECT_EQ(main_reason({0, 3, 1, 0, 3, 0, 0, 0, 0, 0}), PadReason::slope);
}

}  // namespace
}  // namespace eaveshed
