// Random numbers that are a function of who asks: of a seed, a parcel and the number of the draw. Nothing is carried
// from one call to the next, so the numbers of a parcel do not depend on the other parcels, on the order of the work or
// on threads; and no distribution of the standard library, which differs between libraries, is involved.
#pragma once

#include <array>
#include <cstdint>
#include <string_view>

namespace eaveshed {

// Philox4x32-10: ten rounds on a counter of four words under a key of two (Salmon, Moraes, Dror and Shaw 2011, Parallel
// random numbers: as easy as 1, 2, 3).
[[nodiscard]] std::array<std::uint32_t, 4> philox_4x32_10(std::array<std::uint32_t, 4> counter,
                                                          std::array<std::uint32_t, 2> key);

// Inverse of the standard normal distribution function, 0 < p < 1; relative accuracy about 1e-16 (Wichura 1988,
// Algorithm AS 241, PPND16).
[[nodiscard]] double normal_quantile(double p);

// 64-bit hash of an id, the same on every machine (FNV-1a, Fowler, Noll and Vo). Two ids that share a hash share their
// draws, which does no harm.
[[nodiscard]] std::uint64_t id_hash(std::string_view id);

// Four independent standard normal numbers by inversion, each from 32 random bits: (bits + 1/2) / 2^32, so within
// +-6.34.
// method.md 8.6.
[[nodiscard]] std::array<double, 4> four_normals(std::uint64_t seed, std::uint64_t hash, std::uint32_t draw);

}  // namespace eaveshed
