// The widths of vectors that loops over `Wide` are compiled for, and which of them a machine has: this file alone says
// which there are (plain loops have EAVESHED_WIDEN of core/lanes.hpp). Every width gives the same numbers to the last
// bit, because each lane's arithmetic is that of a single double and the whole program is built without fused
// multiplication and addition (-ffp-contract=off).
#pragma once

#include <cstdint>
#include <span>

#include "eaveshed/lanes/wide.hpp"

#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__)
#define EAVESHED_WIDER_VECTORS
#endif

namespace eaveshed {

enum class Vectors : std::uint8_t {
    pairs,   // of doubles: what every processor has
    fours,   // AVX2
    eights,  // AVX-512
};

// Those that this machine can run, the widest last.
[[nodiscard]] std::span<const Vectors> vectors_here();
[[nodiscard]] Vectors widest_vectors();

namespace of_vectors {

template <typename Loop>
void pairs(const Loop& loop) {
    loop.template operator()<WideOf<16>>();
}
#if defined(EAVESHED_WIDER_VECTORS)
template <typename Loop>
[[gnu::target("avx2")]] void fours(const Loop& loop) {
    loop.template operator()<WideOf<32>>();
}
template <typename Loop>
[[gnu::target("avx512f")]] void eights(const Loop& loop) {
    loop.template operator()<WideOf<64>>();
}
#endif

}  // namespace of_vectors

// Runs `loop.operator()<Wide>()` for the type of those vectors, one of vectors_here(). The loop, and what it calls of
// lanes, is always_inline: so it becomes part of a function that is compiled for them.
template <typename Loop>
void with_vectors([[maybe_unused]] Vectors vectors, const Loop& loop) {
#if defined(EAVESHED_WIDER_VECTORS)
    switch (vectors) {
        case Vectors::eights: return of_vectors::eights(loop);
        case Vectors::fours: return of_vectors::fours(loop);
        case Vectors::pairs: break;
    }
#endif
    of_vectors::pairs(loop);
}

}  // namespace eaveshed
