// A tile of parcels with two roofs each over a short record of months, from its input to its rows: roofs a second.
// Mostly shapes, searches, what a parcel's roofs do together and its questions; rain and stores have loops of their
// own.
#include <benchmark/benchmark.h>

#include <cstdint>

#include "eaveshed/tile/evaluate.hpp"
#include "site/tile_samples.hpp"

namespace eaveshed {
namespace {

constexpr int kParcelsASide = 3;

void parcels_of_a_tile(benchmark::State& state) {
    const Settings settings = two_options();
    std::vector<TileSite> sites;
    for (int row = 0; row < kParcelsASide; ++row) {
        for (int col = 0; col < kParcelsASide; ++col) {
            const double x = 20.0 + 55.0 * col;
            const double y = 20.0 + 55.0 * row;
            const std::uint64_t first = 2 * sites.size();
            TileParcel parcel = parcel_with_measured_use();
            parcel.ordinal = sites.size();
            parcel.outline = testing::rectangle(x, y, 50.0, 50.0);
            sites.push_back({parcel, {roof_at(x + 10.0, y + 10.0, first), roof_at(x + 30.0, y + 25.0, first + 1)}});
        }
    }
    const auto roofs = static_cast<std::int64_t>(2 * sites.size());
    const TileInput tile = tile_with(std::move(sites), mean_year(settings));
    for (auto _ : state) {
        benchmark::DoNotOptimize(evaluate_tile(tile, settings));
    }
    state.SetItemsProcessed(state.iterations() * roofs);
}
BENCHMARK(parcels_of_a_tile)->Unit(benchmark::kMicrosecond);

}  // namespace
}  // namespace eaveshed
