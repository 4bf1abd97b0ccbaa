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
