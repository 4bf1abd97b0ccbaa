// Products of two 64-bit numbers, exactly.
#pragma once

#include <cstdint>

namespace eaveshed {

__extension__ using Wide = __int128;

[[nodiscard]] constexpr Wide wide_product(std::int64_t a, std::int64_t b) {
    return static_cast<Wide>(a) * b;
}

}  // namespace eaveshed
