// Thirty years of rain on eight roofs, at three runoff coefficients: roofs a second.
#include <benchmark/benchmark.h>

#include <cstdint>

#include "bench/invented_rain.hpp"
#include "eaveshed/rain/harvest_lanes.hpp"

namespace eaveshed {
namespace {

void harvest_over_spells(benchmark::State& state) {
    const testing::InventedRain rain = testing::invented_rain();
    const std::vector<LaneRoof> roofs(kLanes, LaneRoof{testing::shipped_harvest(), 150.0, 0.75, {0.6, 0.9}});
    std::vector<Lanes> wet_mm(rain.wet_mm.size());
    for (std::size_t k = 0; k < kLanes; ++k) {
        put_lane(rain.wet_mm, k, wet_mm);
    }
    LaneHarvest harvest;
    const Vectors vectors = vectors_here()[static_cast<std::size_t>(state.range(0))];
    for (auto _ : state) {
        run_harvests(rain.condensed, testing::shipped_season().fill, wet_mm, roofs, true, harvest, vectors);
        benchmark::DoNotOptimize(harvest.inflow_m3.data());
    }
    state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(kLanes));
    state.counters["spells"] = static_cast<double>(rain.condensed.spells.size());
}
BENCHMARK(harvest_over_spells)->ArgName("width")->DenseRange(0, static_cast<int>(vectors_here().size()) - 1);

}  // namespace
}  // namespace eaveshed
