// What the rules of the ground say of every cell that the roofs of a tile ask about: made once, a bit a cell and rule,
// so that the cells of whole runs are counted by words.
#pragma once

#include <cstdint>
#include <map>
#include <utility>
#include <vector>

#include "eaveshed/core/raster.hpp"
#include "eaveshed/shape/row_cover.hpp"
#include "eaveshed/siting/pad_rules.hpp"
#include "eaveshed/siting/removed_cells.hpp"
#include "eaveshed/terrain/terrain_metric.hpp"

namespace eaveshed {

// Fills itself as it is asked, block by block of the raster: for one thread at a time.
class GroundVerdicts {
public:
    // The terrain outlives this.
    GroundVerdicts(const SparseRaster& terrain, const TerrainMetric& metric, const PadLimits& limits)
        : m_terrain(&terrain), m_metric(metric), m_limits(limits) {}

    // Adds how many cells of the run each rule of the ground is the first to remove. `slope_reach`: of the slopes
    // (terrain/slope.hpp). The run's cells and those that their slopes need are loaded.
    void count(std::int64_t row, const Span& run, std::int64_t slope_reach, RemovedCells& removed);

private:
    // By row of the block, rule of the ground, and word of the row; set where the rule is the first to remove the cell.
    using Bits = std::vector<std::uint64_t>;

    [[nodiscard]] const Bits& bits_of(Cell block, std::int64_t slope_reach);
    [[nodiscard]] RasterPatch ground_around(const CellRange& range) const;

    const SparseRaster* m_terrain;
    TerrainMetric m_metric;
    PadLimits m_limits;
    std::map<std::pair<std::int64_t, Cell>, Bits> m_blocks;  // by reach and block
};

}  // namespace eaveshed
