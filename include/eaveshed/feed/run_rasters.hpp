// The elevation, surface and canopy rasters of a run, their decoded blocks kept as long as tiles to come
// need them.
#pragma once

#include <cstddef>
#include <memory>
#include <optional>
#include <vector>

#include "eaveshed/opening/open_inputs.hpp"
#include "eaveshed/plan/plan.hpp"
#include "eaveshed/raster/raster_source.hpp"

namespace eaveshed {

// What decoded blocks may take of memory where nobody says otherwise, all three rasters together: three rows of
// 512 x 512 blocks of single precision over 20 km at 1 m. Where that is too little, blocks are decoded again; results
// do not depend on it.
inline constexpr std::size_t kBlockCacheBytes = std::size_t{128} * 1024 * 1024;

// The workers' loaders take their own handles from here (RasterSource::another). The blocks are those of the open
// inputs: what was decoded for a look before is there for the tiles.
struct RunRasters {
    explicit RunRasters(const OpenInputs& inputs, std::size_t cache_bytes = kBlockCacheBytes);

    std::shared_ptr<BlockCache> cache;
    RasterSource terrain;
    std::optional<RasterSource> surface;
    std::optional<RasterSource> canopy;
};

// Which cells the tiles of a plan may need, as a box each: never less than a tile loads, but for roads that lie far
// off. Announces them to the cache, so that a block is let go after its last tile. Thread-safe after construction.
class TileNeeds {
public:
    TileNeeds(const RunRasters& rasters, const Settings& settings, const Inputs& inputs, const Plan& plan);

    // Tile `tile` is loaded: nobody will load it again.
    void done(std::size_t tile) const;

private:
    struct Needed {
        CellRange terrain;
        CellRange surface;
        CellRange canopy;
    };
    [[nodiscard]] std::vector<BlockKey> blocks_of(const Needed& needed) const;

    const RunRasters& m_rasters;
    std::vector<Needed> m_tiles;
};

}  // namespace eaveshed
