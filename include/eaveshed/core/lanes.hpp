// Several independent sums at once. Whatever runs through a record step by step waits for its own last result; lanes of
// unconnected records side by side do not wait for each other, and the compiler makes vectors of them.
#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <vector>

namespace eaveshed {

inline constexpr std::size_t kLanes = 8;

// One value a lane. Every lane's arithmetic is that of a single double: its neighbours never change its bits.
using Lanes = std::array<double, kLanes>;

// One lane as a series.
[[nodiscard]] inline std::vector<double> lane_of(const std::vector<Lanes>& items, std::size_t lane) {
    std::vector<double> series(items.size());
    for (std::size_t i = 0; i < items.size(); ++i) {
        series[i] = items[i][lane];
    }
    return series;
}

// The first `count` lanes as series. In blocks, so that what lies beside each other is read while it is at hand.
[[nodiscard]] inline std::vector<std::vector<double>> series_of_lanes(const std::vector<Lanes>& items,
                                                                      std::size_t count) {
    constexpr std::size_t kBlock = 32;
    std::vector<std::vector<double>> series(count, std::vector<double>(items.size()));
    for (std::size_t first = 0; first < items.size(); first += kBlock) {
        const std::size_t end = first + kBlock < items.size() ? first + kBlock : items.size();
        for (std::size_t lane = 0; lane < count; ++lane) {
            double* const out = series[lane].data();
            for (std::size_t i = first; i < end; ++i) {
                out[i] = items[i][lane];
            }
        }
    }
    return series;
}

// A series into one lane, as many values as there are items.
inline void put_lane(std::span<const double> series, std::size_t lane, std::span<Lanes> items) {
    for (std::size_t i = 0; i < items.size(); ++i) {
        items[i][lane] = series[i];
    }
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
