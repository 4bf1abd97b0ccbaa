// Thirty years of rain on a roof: records a second.
#include <benchmark/benchmark.h>

#include "bench/invented_rain.hpp"

namespace eaveshed {
namespace {

void harvest_over_spells(benchmark::State& state) {
    const testing::InventedRain rain = testing::invented_rain();
    const HarvestRules rules = testing::shipped_harvest();
    const std::size_t steps = rain.condensed.timeline.steps.size();
    for (auto _ : state) {
        benchmark::DoNotOptimize(harvest_depths(rain.condensed.spells, steps, rain.wet_mm, rules));
    }
    state.SetItemsProcessed(state.iterations());
    state.counters["spells"] = static_cast<double>(rain.condensed.spells.size());
}
BENCHMARK(harvest_over_spells);

}  // namespace
}  // namespace eaveshed
