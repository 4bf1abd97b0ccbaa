// The best pad of a roof in the invented places of the siting tests: searches a second. What surrounds the roof is made
// once, outside the clock; making it is a loop of its own.
#include <benchmark/benchmark.h>

#include <deque>

#include "siting/random_site.hpp"

namespace eaveshed {
namespace {

constexpr std::uint64_t kPlaces = 32;

struct Places {
    Places() {
        for (std::uint64_t seed = 1; seed <= kPlaces; ++seed) {
            worlds.push_back(testing::random_world(seed));
            sites.emplace_back(worlds.back());
        }
    }
    std::deque<testing::World> worlds;  // stay where they are: the sites point to them
    std::deque<testing::Site> sites;
};

void best_pad(benchmark::State& state) {
    const Places places;
    std::size_t next = 0;
    for (auto _ : state) {
        benchmark::DoNotOptimize(places.sites[next].search().best(places.worlds[next].tanks, 1));
        next = (next + 1) % kPlaces;
    }
    state.SetItemsProcessed(state.iterations());
}
BENCHMARK(best_pad);

// What the roofs of a parcel have in common.
void open_ground_of_a_parcel(benchmark::State& state) {
    const Places places;
    std::size_t next = 0;
    std::int64_t cells = 0;
    for (auto _ : state) {
        const OpenGround ground(places.sites[next].pad_site(), places.worlds[next].rules);
        cells += static_cast<std::int64_t>(ground.cells().size());
        next = (next + 1) % kPlaces;
    }
    state.SetItemsProcessed(state.iterations());
    state.counters["cells"] = static_cast<double>(cells) / static_cast<double>(state.iterations());
}
BENCHMARK(open_ground_of_a_parcel);

void own_cells_of_a_roof(benchmark::State& state) {
    const Places places;
    std::deque<OpenGround> grounds;
    for (std::size_t i = 0; i < kPlaces; ++i) {
        grounds.emplace_back(places.sites[i].pad_site(), places.worlds[i].rules);
    }
    std::size_t next = 0;
    for (auto _ : state) {
        const OwnCells own(places.sites[next].pad_site(), places.worlds[next].rules, grounds[next]);
        benchmark::DoNotOptimize(own.cells().data());
        next = (next + 1) % kPlaces;
    }
    state.SetItemsProcessed(state.iterations());
}
BENCHMARK(own_cells_of_a_roof);

// The next option of a roof whose ground is known.
void best_pad_of_another_option(benchmark::State& state) {
    const Places places;
    std::deque<PadSearch> searches;
    for (std::size_t i = 0; i < kPlaces; ++i) {
        searches.emplace_back(places.sites[i].pad_site(), places.worlds[i].rules);
        benchmark::DoNotOptimize(searches.back().best(places.worlds[i].tanks, 1));
    }
    std::size_t next = 0;
    for (auto _ : state) {
        benchmark::DoNotOptimize(searches[next].best(places.worlds[next].tanks, 1));
        next = (next + 1) % kPlaces;
    }
    state.SetItemsProcessed(state.iterations());
}
BENCHMARK(best_pad_of_another_option);

void reasons_without_a_pad(benchmark::State& state) {
    const Places places;
    std::size_t next = 0;
    for (auto _ : state) {
        benchmark::DoNotOptimize(places.sites[next].search().removed(places.worlds[next].tanks));
        next = (next + 1) % kPlaces;
    }
    state.SetItemsProcessed(state.iterations());
}
BENCHMARK(reasons_without_a_pad);

void surroundings_of_a_roof(benchmark::State& state) {
    const Places places;
    std::size_t next = 0;
    for (auto _ : state) {
        const testing::Site site(places.worlds[next]);
        benchmark::DoNotOptimize(&site);
        next = (next + 1) % kPlaces;
    }
    state.SetItemsProcessed(state.iterations());
}
BENCHMARK(surroundings_of_a_roof);

}  // namespace
}  // namespace eaveshed
