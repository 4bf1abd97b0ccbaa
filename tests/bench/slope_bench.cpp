// Slopes of whole rows, as the search for a pad asks for them: cells a second.
#include <benchmark/benchmark.h>

#include <vector>

#include "eaveshed/terrain/slope.hpp"
#include "support/random_numbers.hpp"

namespace eaveshed {
namespace {

constexpr std::int64_t kSide = 160;  // cells: a roof, 60 m on either side, and a rim
constexpr std::int64_t kReach = 2;   // a window of 5 m over cells of 1 m

RasterPatch rough_ground() {
    testing::RandomNumbers random(1);
    RasterPatch patch{{0, kSide, 0, kSide}, {}};
    for (std::int64_t i = 0; i < kSide * kSide; ++i) {
        patch.values.push_back(random.between(100.0, 110.0));
    }
    return patch;
}

void slopes_of_rows(benchmark::State& state) {
    const RasterPatch ground = rough_ground();
    std::vector<double> slopes(static_cast<std::size_t>(state.range(0)));
    const auto cells = static_cast<std::int64_t>(slopes.size());
    std::int64_t row = kReach;
    for (auto _ : state) {
        horn_slopes(ground, row, kReach, kReach, 1.0, 1.0, slopes);
        benchmark::DoNotOptimize(slopes.data());
        benchmark::ClobberMemory();
        row = row + 1 < kSide - kReach ? row + 1 : kReach;
    }
    state.SetItemsProcessed(state.iterations() * cells);
}
BENCHMARK(slopes_of_rows)->ArgName("cells")->Arg(8)->Arg(32)->Arg(120);

void slopes_one_by_one(benchmark::State& state) {
    const RasterPatch ground = rough_ground();
    std::int64_t col = kReach;
    for (auto _ : state) {
        benchmark::DoNotOptimize(horn_gradient(ground, kSide / 2, col, kReach, 1.0, 1.0));
        col = col + 1 < kSide - kReach ? col + 1 : kReach;
    }
    state.SetItemsProcessed(state.iterations());
}
BENCHMARK(slopes_one_by_one);

}  // namespace
}  // namespace eaveshed
