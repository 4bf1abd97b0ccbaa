// Several independent sums at once. Whatever runs through a record step by step waits for its own last result; lanes of
// unconnected records side by side do not wait for each other, and the compiler makes vectors of them.
#pragma once

#include <array>
#include <cstddef>
#include <cstring>
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

// A series into one lane, as many values as there are items.
inline void put_lane(std::span<const double> series, std::size_t lane, std::span<Lanes> items) {
    for (std::size_t i = 0; i < items.size(); ++i) {
        items[i][lane] = series[i];
    }
}

// The lanes as the vectors of the processor, for loops that are worth it: of plain loops over lanes the compiler makes
// vectors or not, as it happens. Every operation is that of a double, lane by lane.
struct Wide {
    using Pair [[gnu::vector_size(16)]] = double;  // what every processor has
    Pair a;
    Pair b;
    Pair c;
    Pair d;

    [[nodiscard, gnu::always_inline]] static Wide all(double value) {
        const Pair pair{value, value};
        return {pair, pair, pair, pair};
    }
    [[nodiscard, gnu::always_inline]] static Wide of(const Lanes& lanes) {
        Wide wide;
        std::memcpy(&wide, lanes.data(), sizeof wide);
        return wide;
    }
    [[nodiscard, gnu::always_inline]] Lanes lanes() const {
        Lanes lanes;
        to(lanes);
        return lanes;
    }
    [[gnu::always_inline]] void to(Lanes& lanes) const { std::memcpy(lanes.data(), this, sizeof lanes); }

    [[nodiscard, gnu::always_inline]] Wide operator+(const Wide& o) const {
        return {a + o.a, b + o.b, c + o.c, d + o.d};
    }
    [[nodiscard, gnu::always_inline]] Wide operator-(const Wide& o) const {
        return {a - o.a, b - o.b, c - o.c, d - o.d};
    }
    [[nodiscard, gnu::always_inline]] Wide operator*(const Wide& o) const {
        return {a * o.a, b * o.b, c * o.c, d * o.d};
    }
    [[nodiscard, gnu::always_inline]] Wide operator/(const Wide& o) const {
        return {a / o.a, b / o.b, c / o.c, d / o.d};
    }
    [[gnu::always_inline]] Wide& operator+=(const Wide& o) { return *this = *this + o; }
};
static_assert(sizeof(Wide) == sizeof(Lanes));

// As std::min and std::max, bit for bit.
[[nodiscard, gnu::always_inline]] inline Wide least(const Wide& x, const Wide& y) {
    return {y.a < x.a ? y.a : x.a, y.b < x.b ? y.b : x.b, y.c < x.c ? y.c : x.c, y.d < x.d ? y.d : x.d};
}
[[nodiscard, gnu::always_inline]] inline Wide most(const Wide& x, const Wide& y) {
    return {x.a < y.a ? y.a : x.a, x.b < y.b ? y.b : x.b, x.c < y.c ? y.c : x.c, x.d < y.d ? y.d : x.d};
}
// x >= y ? then : otherwise
[[nodiscard, gnu::always_inline]] inline Wide where_reached(const Wide& x, const Wide& y, const Wide& then,
                                                            const Wide& otherwise) {
    return {x.a >= y.a ? then.a : otherwise.a, x.b >= y.b ? then.b : otherwise.b, x.c >= y.c ? then.c : otherwise.c,
            x.d >= y.d ? then.d : otherwise.d};
}

// What `value_of` says of each item, in its lane; 0 in the lanes beyond. At most kLanes items.
template <typename Item, typename ValueOf>
[[nodiscard]] Wide wide_of(std::span<const Item> items, ValueOf value_of) {
    Lanes lanes{};
    for (std::size_t lane = 0; lane < items.size(); ++lane) {
        lanes[lane] = value_of(items[lane]);
    }
    return Wide::of(lanes);
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
