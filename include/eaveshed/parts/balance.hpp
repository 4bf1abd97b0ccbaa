// Tiles shared out among the parts of a run.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace eaveshed {

// Tiles [first, first + count).
struct TileRun {
    std::size_t first = 0;
    std::size_t count = 0;
    friend bool operator==(const TileRun&, const TileRun&) = default;
};

// As many runs of neighbouring tiles as asked for (at least one), which together are all tiles in their order, so that
// the dearest run is as cheap as runs can be. `costs`: of each tile, not negative, any unit. Where there are fewer
// tiles than runs, some are empty, the last ones. Costs about 60 passes over the tiles.
[[nodiscard]] std::vector<TileRun> balanced_runs(std::span<const double> costs, std::size_t runs);

}  // namespace eaveshed
