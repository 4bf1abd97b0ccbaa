// Several independent sums at once. Whatever runs through a record step by step waits for its own last result; lanes of
// unconnected records side by side do not wait for each other, and the compiler makes vectors of them.
#pragma once

#include <array>
#include <cstddef>
#include <functional>
#include <span>
#include <vector>

namespace eaveshed {

inline constexpr std::size_t kLanes = 8;

// One value a lane. Every lane's arithmetic is that of a single double: its neighbours never change its bits.
using Lanes = std::array<double, kLanes>;

// One series in the first lane, zeros in the others.
[[nodiscard]] inline std::vector<Lanes> in_first_lane(std::span<const double> series) {
    std::vector<Lanes> lanes(series.size());
    for (std::size_t i = 0; i < series.size(); ++i) {
        lanes[i][0] = series[i];
    }
    return lanes;
}

// One lane as a series. `lanes_of` gives an item's lanes.
template <typename Item, typename LanesOf = std::identity>
[[nodiscard]] std::vector<double> lane_of(const std::vector<Item>& items, std::size_t lane, LanesOf lanes_of = {}) {
    std::vector<double> series(items.size());
    for (std::size_t i = 0; i < items.size(); ++i) {
        series[i] = lanes_of(items[i])[lane];
    }
    return series;
}

}  // namespace eaveshed

// Before a function whose loops over lanes should use the widest vectors of the machine it runs on: it is compiled for
// several, and the loader picks one. What it calls must be inline to gain. The results are the same to the last bit,
// because the whole program is built without fused multiplication and addition (-ffp-contract=off). Elsewhere than on
// x86-64 with GNU's loader, and under sanitizers, which the loader's choice would come too early for, it is compiled
// once.
#if defined(__x86_64__) && defined(__linux__) && defined(__GLIBC__) && defined(__GNUC__) && !defined(__clang__) && \
    !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__)
#define EAVESHED_WIDEN __attribute__((target_clones("avx512f", "avx2", "default")))
#else
#define EAVESHED_WIDEN
#endif
