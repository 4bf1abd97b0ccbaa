#include "eaveshed/run/memory_shares.hpp"

#include <gtest/gtest.h>

#include "eaveshed/opening/open_inputs.hpp"
#include "eaveshed/plan/plan.hpp"
#include "run/run_project.hpp"
#include "support/expect_error.hpp"

namespace eaveshed {
namespace {

class MemorySharesTest : public ::testing::Test {
protected:
    // The demo basin with another number of footprints and other cells.
    Inputs inputs(std::int64_t footprints, double cell_m) const {
        Inputs opened = m_opened;
        opened.layers["footprints.source"].front().info.feature_count = footprints;
        opened.layers["parcels.source"].front().info.feature_count = footprints / 2;
        Grid& grid = opened.rasters["terrain.elevation"].grid;
        grid.cell_width = grid.cell_height = cell_m;
        grid.rows = grid.cols = 1'000'000;
        return opened;
    }
    MemoryShares share(std::size_t mib, unsigned threads, const Inputs& of) const {
        return share_memory(mib, 0, threads, of, m_project.settings);
    }
    std::uint64_t total(const MemoryShares& shares, const Inputs& of) const {
        return held_bytes(of) + shares.block_bytes + shares.rain_bytes +
               shares.threads * tile_bytes(of, m_project.settings, shares.tile_side_m);
    }

    Findings m_findings;
    Project m_project = load_project(demo_project(), m_findings);
    OpenInputs m_opened = open_inputs(m_project, m_findings);
};

TEST_F(MemorySharesTest, WhatIsSharedOutIsWhatIsThere) {
    for (const std::size_t mib : {256U, 512U, 2048U}) {
        for (const unsigned threads : {1U, 2U, 16U}) {
            for (const double cell_m : {0.25, 1.0, 30.0}) {
                const Inputs of = inputs(100'000, cell_m);
                const MemoryShares shares = share(mib, threads, of);
                EXPECT_LE(total(shares, of), mib * kMiB) << mib << " MiB, " << threads << " threads, " << cell_m;
                EXPECT_GE(shares.threads, 1U);
                EXPECT_LE(shares.threads, threads);
                EXPECT_LE(shares.tile_side_m, kTileSideM);
            }
        }
    }
}

TEST_F(MemorySharesTest, FinerElevationsTakeSmallerTilesAndThenFewerThreads) {
    const MemoryShares coarse = share(512, 2, inputs(10'000, 1.0));
    EXPECT_EQ(coarse.tile_side_m, kTileSideM);
    EXPECT_EQ(coarse.threads, 2U);
    const MemoryShares fine = share(512, 2, inputs(10'000, 0.3));
    EXPECT_LT(fine.tile_side_m, kTileSideM);
    EXPECT_EQ(fine.threads, 2U);
    EXPECT_LT(share(512, 64, inputs(10'000, 0.3)).threads, 64U);
}

// Blocks take what a strip needs, however much there is. Here a strip is at most 12 km wide, and a tile with what is
// looked at around it, and half a block, 1.5 to 2 km high: 60 to 100 MiB of single precision.
TEST_F(MemorySharesTest, BlocksTakeNoMoreThanAStripNeeds) {
    Inputs of = inputs(1'000'000, 1.0);
    RasterInfo& elevation = of.rasters["terrain.elevation"];
    elevation.block_cols = 512;
    elevation.cell_bytes = sizeof(float);
    const RasterInfo alone = elevation;
    of.rasters = {{"terrain.elevation", alone}};
    const std::size_t single = share(4096, 1, of).block_bytes;
    EXPECT_GT(single, 60 * kMiB);
    EXPECT_LT(single, 100 * kMiB);
    of.rasters["terrain.surface"] = alone;
    const auto times = [&] {
        return static_cast<double>(share(4096, 1, of).block_bytes) / static_cast<double>(single);
    };
    EXPECT_NEAR(times(), 2.0, 1e-6);
    of.rasters["terrain.surface"].cell_bytes = sizeof(double);
    EXPECT_NEAR(times(), 3.0, 1e-6);
    EXPECT_LT(share(256, 1, of).block_bytes, 2 * single);
}

TEST_F(MemorySharesTest, TenMillionFootprintsFitIntoTheDefault) {
    EXPECT_EQ(share(kDefaultMemoryMib, 2, inputs(10'000'000, 1.0)).threads, 2U);
    EXPECT_NO_THROW(require_memory_to_gather(kDefaultMemoryMib, inputs(10'000'000, 1.0)));
}

TEST_F(MemorySharesTest, TooLittleIsAnErrorThatSaysHowMuchWouldDo) {
    const Inputs of = inputs(60'000'000, 1.0);
    testing::expect_error([&] { static_cast<void>(share(512, 1, of)); }, Fault::input,
                          {"--memory", "512 MiB", "at least", "allow more"});
    const std::size_t enough = static_cast<std::size_t>(least_bytes(of, m_project.settings) / kMiB) + 1;
    EXPECT_NO_THROW(static_cast<void>(share(enough, 1, of)));
    testing::expect_error([&] { require_memory_to_gather(512, of); }, Fault::input,
                          {"--memory", "512 MiB", "to gather", "allow more"});
    EXPECT_NO_THROW(require_memory_to_gather(enough + 48, of));
}

// docs/scale.md: gathering 606,000 parcels and a million footprints took 387 MiB, of which 126 have to be.
TEST_F(MemorySharesTest, WhatASchedulerIsAskedForIsWhatGatheringTakesAndNotTheLeast) {
    Inputs of = inputs(1'000'000, 1.0);
    of.layers["parcels.source"].front().info.feature_count = 606'000;
    EXPECT_GE(gather_bytes(of) / kMiB, 387U);
    EXPECT_LE(gather_bytes(of) / kMiB, 500U);
    EXPECT_NO_THROW(require_memory_to_gather(150, of));
    EXPECT_THROW(require_memory_to_gather(126, of), Error);
}

TEST_F(MemorySharesTest, WhatARunWillTakeIsNoLessThanTheLeast) {
    for (const std::int64_t footprints : {1'000, 100'000, 1'000'000}) {
        const Inputs of = inputs(footprints, 1.0);
        EXPECT_GE(expected_bytes(of, m_project.settings), least_bytes(of, m_project.settings));
    }
    // Measured with one thread: 148 MiB (docs/performance.md).
    const double mib = static_cast<double>(expected_bytes(inputs(100'000, 1.0), m_project.settings)) / kMiB;
    EXPECT_NEAR(mib, 148.0, 50.0);
}

}  // namespace
}  // namespace eaveshed
