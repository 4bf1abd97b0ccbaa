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
    virtual ~TileRowSink() = default;

    // Keeps all rows of a tile. Safe to call for different tiles from several threads at once.
    virtual void write(std::uint64_t tile, const TileRows& rows) = 0;
};

}  // namespace eaveshed
