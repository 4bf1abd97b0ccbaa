// The floating-point predictor of TIFF (tag Predictor, value 3), undone: Adobe Photoshop TIFF Technical Note 3 (2005).
// The library's own loop takes a byte at a time and most of the time that a compressed elevation raster costs.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

namespace eaveshed {

// A row of Float32 with the predictor holds the bytes of its numbers in four planes, the most significant first, each
// byte less the one before it (modulo 256). `coded`: rows of 4 x width such bytes one after the other; it is written
// over. `values`: as many rows of `width` numbers. Any bytes are some numbers: nothing can be wrong but the sizes,
// which must agree (an internal error). For little-endian machines.
void undo_float_predictor(std::span<std::uint8_t> coded, std::size_t width, std::span<float> values);

}  // namespace eaveshed
