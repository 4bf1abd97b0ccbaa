// From the plan and the files to the input of one tile.
#pragma once

#include <memory>

#include "eaveshed/feed/basin_climate.hpp"
#include "eaveshed/feed/run_rasters.hpp"
#include "eaveshed/inputs/inputs.hpp"
#include "eaveshed/plan/plan.hpp"
#include "eaveshed/site/tile_input.hpp"

namespace eaveshed {

// One per worker: it holds its own file handles and transformations.
class TileLoader {
public:
    // Everything named here outlives the loader.
    TileLoader(const Project& project, const Inputs& inputs, const Plan& plan, const BasinClimate& climate,
               const RunRasters& rasters);
    ~TileLoader();
    TileLoader(const TileLoader&) = delete;
    TileLoader& operator=(const TileLoader&) = delete;

    [[nodiscard]] TileInput load(const PlannedTile& planned);

private:
    struct Impl;
    std::unique_ptr<Impl> m_impl;
};

}  // namespace eaveshed
