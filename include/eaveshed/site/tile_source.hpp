// Where the tiles of a run come from: whoever computes them need not know of files.
#pragma once

#include <cstddef>
#include <memory>

#include "eaveshed/site/tile_input.hpp"

namespace eaveshed {

// Reads tiles for one worker at a time.
class TileSource {
public:
    TileSource() = default;
    TileSource(const TileSource&) = delete;
    TileSource& operator=(const TileSource&) = delete;
    virtual ~TileSource() = default;

    // Each tile of a run is loaded once.
    [[nodiscard]] virtual TileInput load(std::size_t tile) = 0;
};

// The tiles of a run, numbered from 0. Neighbours have numbers close to each other.
class TileSources {
public:
    TileSources() = default;
    TileSources(const TileSources&) = delete;
    TileSources& operator=(const TileSources&) = delete;
    virtual ~TileSources() = default;

    [[nodiscard]] virtual std::size_t count() const = 0;
    // A source for one more worker. Safe to call from several threads at once; outlives what it hands out.
    [[nodiscard]] virtual std::unique_ptr<TileSource> open() = 0;
    // Tile `tile` will not be loaded; how many roofs it has. Safe to call from several threads at once.
    virtual std::size_t leave_out(std::size_t tile) = 0;
};

}  // namespace eaveshed
