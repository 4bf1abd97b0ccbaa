// Filling, directions and accumulation of invented ground: cells a second on one thread.
#include <benchmark/benchmark.h>

#include <cmath>
#include <vector>

#include "eaveshed/flow/accumulation.hpp"
#include "eaveshed/flow/block_mean.hpp"
#include "eaveshed/flow/derived_streams.hpp"
#include "eaveshed/flow/directions.hpp"
#include "eaveshed/flow/fill.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

// Ground rough at every scale by midpoint displacement, with sides of 2^steps + 1 cells of 10 m and pits everywhere.
// With `whole_metres` much of it is flat.
Surface<float> rough_ground(int steps, bool whole_metres) {
    testing::RandomNumbers random(7);
    const std::int64_t side = (std::int64_t{1} << steps) + 1;
    Surface<float> ground{{0.0, 0.0, 10.0, 10.0, side, side}, {}};
    ground.elev_m.assign(static_cast<std::size_t>(side * side), 0.0F);
    const auto at = [&](std::int64_t row, std::int64_t col) -> float& {
        return ground.elev_m[static_cast<std::size_t>(row * side + col)];
    };
    double rough_m = 1000.0;
    for (std::int64_t step = side - 1; step > 1; step /= 2, rough_m *= 0.55) {
        const std::int64_t half = step / 2;
        const auto shifted = [&](float a, float b, float c, float d) {
            return static_cast<float>(0.25 * (a + b + c + d) + random.between(-rough_m, rough_m));
        };
        for (std::int64_t row = half; row < side; row += step) {
            for (std::int64_t col = half; col < side; col += step) {
                at(row, col) = shifted(at(row - half, col - half), at(row - half, col + half),
                                       at(row + half, col - half), at(row + half, col + half));
            }
        }
        for (std::int64_t row = 0; row < side; row += half) {
            for (std::int64_t col = (row / half) % 2 == 0 ? half : 0; col < side; col += step) {
                const float north = row >= half ? at(row - half, col) : at(row + half, col);
                const float south = row + half < side ? at(row + half, col) : at(row - half, col);
                const float west = col >= half ? at(row, col - half) : at(row, col + half);
                const float east = col + half < side ? at(row, col + half) : at(row, col - half);
                at(row, col) = shifted(north, south, west, east);
            }
        }
    }
    if (whole_metres) {
        for (float& elev_m : ground.elev_m) {
            elev_m = std::round(elev_m);
        }
    }
    return ground;
}

// A block of a file to cells of 10 m, as it is decoded.
void averaging_a_block(benchmark::State& state) {
    const Grid grid{0.0, 0.0, 1.0, 1.0, 1000, 1000};
    const BlockMean<float> mean(grid, grid.cells(), {10, 10});
    const std::vector<float> block(std::size_t{512} * 512, 321.5F);
    for (auto _ : state) {
        benchmark::DoNotOptimize(mean.parts_of({0, 512, 0, 512}, block));
    }
    state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(block.size()));
}

void filling(benchmark::State& state) {
    const Surface<float> ground = rough_ground(static_cast<int>(state.range(0)), state.range(1) != 0);
    for (auto _ : state) {
        state.PauseTiming();
        Surface<float> filled = ground;
        state.ResumeTiming();
        benchmark::DoNotOptimize(fill_depressions(filled));
    }
    state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(ground.elev_m.size()));
}

void directions_of_filled(benchmark::State& state) {
    Surface<float> ground = rough_ground(static_cast<int>(state.range(0)), state.range(1) != 0);
    fill_depressions(ground);
    for (auto _ : state) {
        benchmark::DoNotOptimize(flow_directions(ground, sides_in_plane(ground.grid, 1.0)));
    }
    state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(ground.elev_m.size()));
}

void accumulation_of_directions(benchmark::State& state) {
    Surface<float> ground = rough_ground(static_cast<int>(state.range(0)), state.range(1) != 0);
    fill_depressions(ground);
    const FlowDirections directions = flow_directions(ground, sides_in_plane(ground.grid, 1.0));
    for (auto _ : state) {
        benchmark::DoNotOptimize(accumulate(directions));
    }
    state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(ground.elev_m.size()));
}

// All three, and the reaches of a tenth of a km2.
void streams_of_ground(benchmark::State& state) {
    const Surface<float> ground = rough_ground(static_cast<int>(state.range(0)), state.range(1) != 0);
    for (auto _ : state) {
        state.PauseTiming();
        Surface<float> filled = ground;
        state.ResumeTiming();
        fill_depressions(filled);
        const FlowDirections directions = flow_directions(filled, sides_in_plane(ground.grid, 1.0));
        benchmark::DoNotOptimize(derive_streams(directions, accumulate(directions), 1e5));
    }
    state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(ground.elev_m.size()));
}

void grounds(benchmark::internal::Benchmark* bench) {
    bench->ArgNames({"steps", "whole_metres"})->Args({10, 0})->Args({12, 0})->Args({12, 1});
    bench->Unit(benchmark::kMillisecond);
}
BENCHMARK(averaging_a_block);
BENCHMARK(filling)->Apply(grounds);
BENCHMARK(directions_of_filled)->Apply(grounds);
BENCHMARK(accumulation_of_directions)->Apply(grounds);
BENCHMARK(streams_of_ground)->Apply(grounds);

}  // namespace
}  // namespace eaveshed
