// Lanes reckoned with as vectors.
#pragma once

#include <cstddef>
#include <cstring>
#include <span>

#include "eaveshed/core/lanes.hpp"

namespace eaveshed {

// The lanes as vectors of the processor, each of so many bytes, for loops that are worth it: of plain loops over lanes
// the compiler makes vectors or not, as it happens. Every operation is that of a double, lane by lane.
template <std::size_t bytes>
struct WideOf {
    using Part [[gnu::vector_size(bytes)]] = double;
    static constexpr std::size_t kParts = sizeof(Lanes) / bytes;
    static_assert(kParts == 1 || kParts == 2 || kParts == 4);
    Part parts[kParts];  // NOLINT(modernize-avoid-c-arrays): std::array would drop the attribute

    [[nodiscard, gnu::always_inline]] static WideOf of(const Lanes& lanes) {
        WideOf wide;
        std::memcpy(&wide, lanes.data(), sizeof wide);
        return wide;
    }
    [[gnu::always_inline]] void to(Lanes& lanes) const { std::memcpy(lanes.data(), this, sizeof lanes); }
    [[nodiscard, gnu::always_inline]] Lanes lanes() const {
        Lanes lanes;
        to(lanes);
        return lanes;
    }

#define EAVESHED_EACH_PART _Pragma("GCC unroll 4") for (std::size_t i = 0; i < kParts; ++i)
    [[nodiscard, gnu::always_inline]] static WideOf all(double value) {
        WideOf wide;
        EAVESHED_EACH_PART wide.parts[i] = value - Part{};  // a number less zero is the number, to the last bit
        return wide;
    }
    [[nodiscard, gnu::always_inline]] friend WideOf operator+(const WideOf& x, const WideOf& y) {
        WideOf sum;
        EAVESHED_EACH_PART sum.parts[i] = x.parts[i] + y.parts[i];
        return sum;
    }
    [[nodiscard, gnu::always_inline]] friend WideOf operator-(const WideOf& x, const WideOf& y) {
        WideOf difference;
        EAVESHED_EACH_PART difference.parts[i] = x.parts[i] - y.parts[i];
        return difference;
    }
    [[nodiscard, gnu::always_inline]] friend WideOf operator*(const WideOf& x, const WideOf& y) {
        WideOf product;
        EAVESHED_EACH_PART product.parts[i] = x.parts[i] * y.parts[i];
        return product;
    }
    [[nodiscard, gnu::always_inline]] friend WideOf operator/(const WideOf& x, const WideOf& y) {
        WideOf quotient;
        EAVESHED_EACH_PART quotient.parts[i] = x.parts[i] / y.parts[i];
        return quotient;
    }
    [[gnu::always_inline]] WideOf& operator+=(const WideOf& other) {
        return *this = *this + other;
    }
    // As std::min and std::max, bit for bit.
    [[nodiscard, gnu::always_inline]] friend WideOf least(const WideOf& x, const WideOf& y) {
        WideOf least;
        EAVESHED_EACH_PART least.parts[i] = y.parts[i] < x.parts[i] ? y.parts[i] : x.parts[i];
        return least;
    }
    [[nodiscard, gnu::always_inline]] friend WideOf most(const WideOf& x, const WideOf& y) {
        WideOf most;
        EAVESHED_EACH_PART most.parts[i] = x.parts[i] < y.parts[i] ? y.parts[i] : x.parts[i];
        return most;
    }
    // x >= y ? then : otherwise
    [[nodiscard, gnu::always_inline]] friend WideOf where_reached(const WideOf& x, const WideOf& y, const WideOf& then,
                                                                  const WideOf& otherwise) {
        WideOf chosen;
        EAVESHED_EACH_PART chosen.parts[i] = x.parts[i] >= y.parts[i] ? then.parts[i] : otherwise.parts[i];
        return chosen;
    }
#undef EAVESHED_EACH_PART
};

// Of two doubles, which every processor has; for what is not worth a loop of several widths.
using Wide = WideOf<16>;
static_assert(sizeof(Wide) == sizeof(Lanes));

// What `value_of` says of each item, in its lane; 0 in the lanes beyond. At most kLanes items.
template <typename Item, typename ValueOf>
[[nodiscard]] Lanes lanes_of(std::span<const Item> items, ValueOf value_of) {
    Lanes lanes{};
    for (std::size_t lane = 0; lane < items.size(); ++lane) {
        lanes[lane] = value_of(items[lane]);
    }
    return lanes;
}

}  // namespace eaveshed
