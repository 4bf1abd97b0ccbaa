// Where the rows of tiles go: whoever computes them need not know of files.
#pragma once

#include <cstdint>

#include "eaveshed/record/tile_rows.hpp"

namespace eaveshed {

class TileRowSink {
public:
    TileRowSink() = default;
    TileRowSink(const TileRowSink&) = delete;
    TileRowSink& operator=(const TileRowSink&) = delete;
    TileRowSink(TileRowSink&&) = default;
    TileRowSink& operator=(TileRowSink&&) = default;
    virtual ~TileRowSink() = default;

    // Keeps all rows of a tile. Safe to call for different tiles from several threads at once.
    virtual void write(std::uint64_t tile, const TileRows& rows) = 0;
    // Whether a tile's rows are kept already, from a run before: it is not computed again.
    [[nodiscard]] virtual bool holds(std::uint64_t /*tile*/) const { return false; }
};

}  // namespace eaveshed
