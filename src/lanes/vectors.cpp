#include "eaveshed/lanes/vectors.hpp"

#include <array>

namespace eaveshed {

std::span<const Vectors> vectors_here() {
    static constexpr std::array kAll{Vectors::pairs, Vectors::fours, Vectors::eights};
#if defined(EAVESHED_WIDER_VECTORS)
    static const std::size_t count = __builtin_cpu_supports("avx512f") != 0 ? 3
                                     : __builtin_cpu_supports("avx2") != 0  ? 2
                                                                            : 1;
#else
    static constexpr std::size_t count = 1;
#endif
    return std::span(kAll).first(count);
}

Vectors widest_vectors() {
    return vectors_here().back();
}

}  // namespace eaveshed
