// Area of a footprint on the ellipsoid and in the plane: footprints a second.
#include <benchmark/benchmark.h>

#include <cmath>
#include <numbers>

#include "eaveshed/shape/ellipsoid.hpp"
#include "eaveshed/shape/measure.hpp"

namespace eaveshed {
namespace {

// A regular outline about 12 m across, in degrees at 38 degrees north or in metres.
MultiPolygon round_house(int vertices, Point middle, double east, double north) {
    Ring ring;
    for (int i = 0; i < vertices; ++i) {
        const double turn = 2.0 * std::numbers::pi * i / vertices;
        ring.push_back({middle.x + 6.0 * std::cos(turn) / east, middle.y + 6.0 * std::sin(turn) / north});
    }
    ring.push_back(ring.front());
    return {{{ring, {}}}};
}

void area_on_the_ellipsoid(benchmark::State& state) {
    const MultiPolygon house = round_house(static_cast<int>(state.range(0)), {-122.5, 38.0}, 87800.0, 111000.0);
    const Ellipsoid ellipsoid;
    for (auto _ : state) {
        benchmark::DoNotOptimize(geodesic_area_m2(house, ellipsoid));
    }
    state.SetItemsProcessed(state.iterations());
}
BENCHMARK(area_on_the_ellipsoid)->ArgName("vertices")->Arg(4)->Arg(12);

void area_in_the_plane(benchmark::State& state) {
    const MultiPolygon house = round_house(static_cast<int>(state.range(0)), {5e5, 4.2e6}, 1.0, 1.0);
    for (auto _ : state) {
        benchmark::DoNotOptimize(planar_area(house));
    }
    state.SetItemsProcessed(state.iterations());
}
BENCHMARK(area_in_the_plane)->ArgName("vertices")->Arg(4)->Arg(12);

}  // namespace
}  // namespace eaveshed
