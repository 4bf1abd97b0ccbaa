// The tiles of a plan as the workers of a run read them.
#pragma once

#include <cstddef>
#include <memory>
#include <mutex>

#include "eaveshed/feed/basin_climate.hpp"
#include "eaveshed/feed/run_rasters.hpp"
#include "eaveshed/opening/open_inputs.hpp"
#include "eaveshed/plan/plan.hpp"
#include "eaveshed/site/tile_source.hpp"

namespace eaveshed {

// The sources share decoded blocks of the rasters; a block is let go after the last tile that may need it.
class PlannedTiles final : public TileSources {
public:
    // Everything named here outlives this. `cache_bytes`: what decoded blocks may take.
    PlannedTiles(const Project& project, const OpenInputs& inputs, const Plan& plan, const BasinClimate& climate,
                 std::size_t cache_bytes = kBlockCacheBytes);

    [[nodiscard]] std::size_t count() const override { return m_plan.tiles.size(); }
    [[nodiscard]] std::unique_ptr<TileSource> open() override;
    std::size_t leave_out(std::size_t tile) override;

    [[nodiscard]] BlockCounts blocks() const { return m_rasters.cache->counts(); }
    // Of decoded blocks that are kept.
    [[nodiscard]] std::size_t block_bytes() const { return m_rasters.cache->bytes(); }

private:
    const Project& m_project;
    const Inputs& m_inputs;
    const Plan& m_plan;
    const BasinClimate& m_climate;
    RunRasters m_rasters;
    TileNeeds m_needs;
    std::mutex m_opening;  // the coordinate reference systems that loaders copy are not safe to read from two threads
};

}  // namespace eaveshed
