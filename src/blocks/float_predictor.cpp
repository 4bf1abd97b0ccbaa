#include "eaveshed/blocks/float_predictor.hpp"

#include <array>
#include <cstring>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

namespace {

// Eight bytes at a time, kept in two words of four 16-bit lanes so that a sum of eight bytes cannot spill into the
// next.
constexpr std::uint64_t kLowBytes = 0x00FF00FF00FF00FFULL;
constexpr std::uint64_t kEachLane = 0x0001000100010001ULL;  // times it: every lane the sum of itself and those below
constexpr unsigned kByte = 8;
constexpr unsigned kLane = 16;
constexpr unsigned kTopLane = 48;

// Every byte becomes the sum of itself and all before it, modulo 256.
void sum_up(std::uint8_t* bytes, std::size_t count) {
    std::uint64_t before = 0;
    std::size_t i = 0;
    for (; i + sizeof(std::uint64_t) <= count; i += sizeof(std::uint64_t)) {
        std::uint64_t word = 0;
        std::memcpy(&word, bytes + i, sizeof word);
        const std::uint64_t even = (word & kLowBytes) * kEachLane;
        const std::uint64_t odd = ((word >> kByte) & kLowBytes) * kEachLane;
        const std::uint64_t carried = (before & 0xFFU) * kEachLane;
        const std::uint64_t both = even + odd;
        const std::uint64_t at_even = (even + (odd << kLane) + carried) & kLowBytes;
        const std::uint64_t at_odd = (both + carried) & kLowBytes;
        word = at_even | (at_odd << kByte);
        std::memcpy(bytes + i, &word, sizeof word);
        before += both >> kTopLane;
    }
    for (; i < count; ++i) {
        before += bytes[i];
        bytes[i] = static_cast<std::uint8_t>(before);
    }
}

// From four planes to numbers, in chunks of a size the compiler knows, through memory of its own: so it may widen.
void join_planes(const std::uint8_t* planes, std::size_t width, float* values) {
    constexpr std::size_t kChunk = 32;
    const std::array<const std::uint8_t*, 4> plane{planes, planes + width, planes + 2 * width, planes + 3 * width};
    const auto joined = [](std::uint32_t a, std::uint32_t b, std::uint32_t c, std::uint32_t d) {
        return (a << 24U) | (b << 16U) | (c << 8U) | d;
    };
    std::size_t i = 0;
    for (; i + kChunk <= width; i += kChunk) {
        std::array<std::uint32_t, kChunk> bits;
        for (std::size_t k = 0; k < kChunk; ++k) {
            bits[k] = joined(plane[0][i + k], plane[1][i + k], plane[2][i + k], plane[3][i + k]);
        }
        std::memcpy(values + i, bits.data(), sizeof bits);
    }
    for (; i < width; ++i) {
        const std::uint32_t bits = joined(plane[0][i], plane[1][i], plane[2][i], plane[3][i]);
        std::memcpy(values + i, &bits, sizeof bits);
    }
}

}  // namespace

void undo_float_predictor(std::span<std::uint8_t> coded, std::size_t width, std::span<float> values) {
    if (width == 0 || values.size() % width != 0 || coded.size() != values.size_bytes()) {
        internal_error("predicted rows of the wrong size");
    }
    const std::size_t row_bytes = width * sizeof(float);
    for (std::size_t row = 0; row < values.size() / width; ++row) {
        std::uint8_t* const bytes = coded.data() + row * row_bytes;
        sum_up(bytes, row_bytes);
        join_planes(bytes, width, values.data() + row * width);
    }
}

}  // namespace eaveshed
