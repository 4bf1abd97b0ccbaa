#include "eaveshed/siting/removed_cells.hpp"

#include <gtest/gtest.h>

#include "eaveshed/siting/ground_verdicts.hpp"
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

// Bits of the ground that the roofs of a tile share, against the counts of every cell: whether they name one
// or leave it to the counts.
TEST(RemovedCells, AreToldByTheGroundAloneOnlyAsTheCountsTellThem) {
    std::size_t told = 0;
    for (std::uint64_t seed = 0; seed < 200; ++seed) {
        SCOPED_TRACE(seed);
        const World world = random_world(seed);
        const Site site(world);
        GroundVerdicts verdicts(site.raster(), world.metric, world.rules.limits);
        PadSite with = site.pad_site();
        with.verdicts = &verdicts;
        const RemovedCells counts = removed_cells(with, world.rules, world.tanks);
        if (const auto reason = main_reason_of_ground(with, world.rules)) {
            EXPECT_EQ(*reason, main_reason(counts));
            ++told;
        }
        EXPECT_EQ(PadSearch(with, world.rules).main_reason(world.tanks), main_reason(counts));
    }
    EXPECT_GT(told, 20U);
}

TEST(GroundVerdicts, CountARowAsItsSlopesDo) {
    testing::RandomNumbers random(5);
    const Grid grid{.x_min = 0.0, .y_max = 300.0, .cell_width = 1.0, .cell_height = 1.0, .rows = 150, .cols = 300};
    SparseRaster raster(grid);
    for (const Cell block : raster.missing_blocks(grid.cells())) {
        if (block == Cell{1, 0}) {
            continue;  // not loaded, and not asked for
        }
        std::vector<double> elevations;
        const CellRange range = raster.block_range(block);
        for (std::int64_t i = 0; i < range.rows() * range.cols(); ++i) {
            elevations.push_back(random.chance(0.01) ? kMissing : random.between(100.0, 101.0));
        }
        raster.put_block(block, elevations, false);
    }
    PadLimits limits;
    limits[PadReason::slope] = 10.0;
    GroundVerdicts verdicts(raster, {}, limits);
    for (int i = 0; i < 200; ++i) {
        const std::int64_t reach = random.whole(1, 3);
        const std::int64_t row = random.whole(0, 120);
        const Span run{random.whole(0, 150), random.whole(150, 300)};
        RemovedCells removed{};
        verdicts.count(row, run, reach, removed);
        RemovedCells plain{};
        const RasterPatch patch = raster.patch({0, 128, 0, 300});
        for (std::int64_t col = run.begin; col < run.end; ++col) {
            const auto gradient = horn_gradient(patch, row, col, reach, 1.0, 1.0);
            if (!gradient) {
                ++plain[0];
            } else if (gradient->slope() * 100.0 > 10.0) {
                ++plain[1];
            }
        }
        EXPECT_EQ(removed, plain);
    }
}

TEST(RemovedCells, NamesTheRuleThatRemovedMostAndOfEqualsTheFirst) {
    EXPECT_EQ(main_reason({}), PadReason::elevation_gap);
    EXPECT_EQ(main_reason({0, 3, 1, 0, 0, 0, 0, 0, 0, 4}), PadReason::feed_lift);
    EXPECT_EQ(main_reason({0, 3, 1, 0, 3, 0, 0, 0, 0, 0}), PadReason::slope);
}

}  // namespace
}  // namespace eaveshed
