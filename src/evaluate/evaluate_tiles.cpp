#include "eaveshed/evaluate/evaluate_tiles.hpp"

#include <tbb/parallel_for.h>
#include <tbb/task.h>

#include <atomic>
#include <cstddef>
#include <memory>

#include "eaveshed/tile/evaluate.hpp"

namespace eaveshed {

void evaluate_tiles(TileSources& sources, TileRowSink& sink, const Settings& settings, unsigned threads,
                    Progress& progress) {
    std::atomic<std::size_t> next{0};
    const std::size_t count = sources.count();
    const auto take_tiles = [&](unsigned /*worker*/) {
        std::unique_ptr<TileSource> source;
        for (std::size_t tile = next++; tile < count; tile = next++) {
            if (tbb::is_current_task_group_canceling()) {
                return;
            }
            stop_if_requested();
            if (sink.holds(tile)) {
                progress.advance(sources.leave_out(tile));
                continue;
            }
            if (!source) {
                source = sources.open();
            }
            const TileRows rows = evaluate_tile(source->load(tile), settings);
            sink.write(tile, rows);
            progress.advance(rows.roofs.size());
        }
    };
    tbb::parallel_for(0U, threads, take_tiles, tbb::simple_partitioner());
}

}  // namespace eaveshed
