// From tiles to kept rows, on many threads: between the plan and gather, whoever reads the tiles and keeps the rows.
#pragma once

#include "eaveshed/progress/progress.hpp"
#include "eaveshed/record/tile_row_sink.hpp"
#include "eaveshed/settings/settings.hpp"
#include "eaveshed/site/tile_source.hpp"

namespace eaveshed {

// Computes every tile that the sink does not hold yet and writes its rows. Workers take the tiles one by one in their
// order, so that all of them are in one part of the basin and can share what its tiles read; a worker opens its source
// when it gets its first tile.
//
// The first error of a source or the sink is thrown when all workers have ended; so is a requested stop (`Stopped`).
// No tile is begun after either. `progress` advances by roofs; its phase is the caller's.
void evaluate_tiles(TileSources& sources, TileRowSink& sink, const Settings& settings, unsigned threads,
                    Progress& progress);

}  // namespace eaveshed
