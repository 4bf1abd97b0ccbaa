#include "eaveshed/feed/planned_tiles.hpp"

#include "eaveshed/feed/tile_loader.hpp"

namespace eaveshed {

namespace {

class PlannedTileSource final : public TileSource {
public:
    PlannedTileSource(const Project& project, const Inputs& inputs, const Plan& plan, const BasinClimate& climate,
                      const RunRasters& rasters, const TileNeeds& needs)
        : m_plan(plan), m_needs(needs), m_loader(project, inputs, plan, climate, rasters) {}

    [[nodiscard]] TileInput load(std::size_t tile) override {
        TileInput input = m_loader.load(m_plan.tiles.at(tile));
        m_needs.done(tile);
        return input;
    }

private:
    const Plan& m_plan;
    const TileNeeds& m_needs;
    TileLoader m_loader;
};

}  // namespace

PlannedTiles::PlannedTiles(const Project& project, const OpenInputs& inputs, const Plan& plan,
                           const BasinClimate& climate, std::size_t cache_bytes)
    : m_project(project),
      m_inputs(inputs),
      m_plan(plan),
      m_climate(climate),
      m_rasters(inputs, cache_bytes),
      m_needs(m_rasters, project.resolved, inputs, plan) {}

std::unique_ptr<TileSource> PlannedTiles::open() {
    const std::scoped_lock lock(m_opening);
    return std::make_unique<PlannedTileSource>(m_project, m_inputs, m_plan, m_climate, m_rasters, m_needs);
}

std::size_t PlannedTiles::leave_out(std::size_t tile) {
    m_needs.done(tile);
    return size_of(m_plan, m_plan.tiles.at(tile)).roofs;
}

}  // namespace eaveshed
