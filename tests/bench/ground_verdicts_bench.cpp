// Why cells fall out by the ground alone, told from bits that the roofs of a tile share: runs a second. The bits are
// made by the first that asks, outside the clock; making them is a loop of its own.
#include <benchmark/benchmark.h>

#include <cmath>
#include <cstdint>

#include "eaveshed/siting/ground_verdicts.hpp"
#include "support/terrain_cells.hpp"

namespace eaveshed {
namespace {

constexpr std::int64_t kSide = 1000;
constexpr std::int64_t kRun = 120;  // cells within reach of a roof, of one row
constexpr std::int64_t kSlopeReach = 2;

SparseRaster hills() {
    const Grid grid{.x_min = 0.0,
                    .y_max = static_cast<double>(kSide),
                    .cell_width = 1.0,
                    .cell_height = 1.0,
                    .rows = kSide,
                    .cols = kSide};
    return testing::cells(
        grid, [](Point p) { return 200.0 + 20.0 * std::sin(0.02 * p.x) + 15.0 * std::cos(0.03 * p.y) + 0.05 * p.x; });
}

PadLimits limits() {
    PadLimits limits;
    limits[PadReason::slope] = 15.0;
    return limits;
}

void ground_removed_in_a_run(benchmark::State& state) {
    const SparseRaster ground = hills();
    GroundVerdicts verdicts(ground, TerrainMetric{}, limits());
    RemovedCells removed{};
    for (std::int64_t row = 10; row < kSide - 10; ++row) {
        verdicts.count(row, {10, kSide - 10}, kSlopeReach, removed);
    }
    std::int64_t next = 0;
    for (auto _ : state) {
        const std::int64_t begin = 10 + next * 37 % (kSide - kRun - 20);
        verdicts.count(10 + next % (kSide - 20), {begin, begin + kRun}, kSlopeReach, removed);
        ++next;
    }
    benchmark::DoNotOptimize(removed);
    state.SetItemsProcessed(state.iterations());
}
BENCHMARK(ground_removed_in_a_run);

void bits_of_a_tile(benchmark::State& state) {
    const SparseRaster ground = hills();
    for (auto _ : state) {
        GroundVerdicts verdicts(ground, TerrainMetric{}, limits());
        RemovedCells removed{};
        for (std::int64_t row = 10; row < kSide - 10; ++row) {
            verdicts.count(row, {10, kSide - 10}, kSlopeReach, removed);
        }
        benchmark::DoNotOptimize(removed);
    }
    state.SetItemsProcessed(state.iterations() * kSide * kSide);
}
BENCHMARK(bits_of_a_tile)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace eaveshed
