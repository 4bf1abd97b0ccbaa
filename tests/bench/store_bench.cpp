// The shipped catalogue over a condensed record of thirty years: roofs a second.
#include <benchmark/benchmark.h>

#include <cstdint>
#include <utility>
#include <vector>

#include "bench/invented_rain.hpp"
#include "eaveshed/storage/side_by_side.hpp"

namespace eaveshed {
namespace {

constexpr std::size_t kOptions = 8;

std::vector<Store> catalogue(std::size_t options) {
    const std::vector<Store> shipped{{1.78, 0.0}, {5.43, 0.0}, {9.09, 0.0}, {18.26, 0.0},
                                     {36.5, 0.0}, {54.8, 0.0}, {91.3, 0.0}, {182.6, 0.0}};
    return {shipped.begin(), shipped.begin() + static_cast<std::ptrdiff_t>(options)};
}

// A roof of 150 m2, three quarters connected, and a take of 1 m3 a day in the season.
void stores_over_thirty_years(benchmark::State& state) {
    const testing::InventedRain rain = testing::invented_rain();
    const Timeline& timeline = rain.condensed.timeline;
    const auto depths =
        harvest_depths(rain.condensed.spells, timeline.steps.size(), rain.wet_mm, testing::shipped_harvest());
    const std::vector<double> inflow = inflows_m3(150.0, 0.75, depths.harvest_mm);
    std::vector<double> demand;
    for (const Step& step : timeline.steps) {
        demand.push_back(testing::shipped_season().draw.has(step.month) ? 1.0 * step.days : 0.0);
    }
    const std::vector<Store> stores = catalogue(static_cast<std::size_t>(state.range(0)));
    const std::vector<CountedFlows> records(static_cast<std::size_t>(state.range(1)),
                                            {{inflow, demand}, timeline.years});
    const Vectors vectors = vectors_here()[static_cast<std::size_t>(state.range(2))];
    for (auto _ : state) {
        benchmark::DoNotOptimize(behaviours(timeline, records, stores, StoreRule::after_spillage, 0.8, vectors));
    }
    state.SetItemsProcessed(state.iterations() * state.range(1));
    state.counters["steps"] = static_cast<double>(timeline.steps.size());
}
void at_every_width(benchmark::internal::Benchmark* bench) {
    bench->ArgNames({"options", "roofs", "width"});
    for (std::size_t width = 0; width < vectors_here().size(); ++width) {
        for (const auto& [options, roofs] :
             {std::pair{1, 1}, {static_cast<int>(kOptions), 1}, {static_cast<int>(kOptions), 4}}) {
            bench->Args({options, roofs, static_cast<std::int64_t>(width)});
        }
    }
}
BENCHMARK(stores_over_thirty_years)->Apply(at_every_width);

}  // namespace
}  // namespace eaveshed
