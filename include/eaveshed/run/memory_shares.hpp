// How what a run may take of memory is shared out, so that a larger basin, finer elevations or more threads do not need
// more of it.
#pragma once

#include <cstddef>
#include <cstdint>

#include "eaveshed/inputs/inputs.hpp"
#include "eaveshed/settings/settings.hpp"
#include "eaveshed/store/spool.hpp"

namespace eaveshed {

inline constexpr std::size_t kMiB = std::size_t{1} << 20U;
inline constexpr std::size_t kDefaultMemoryMib = 512;

struct MemoryShares {
    unsigned threads = 1;         // as many as asked for, unless their tiles would not fit side by side
    double tile_side_m = 0.0;     // at most kTileSideM
    std::size_t block_bytes = 0;  // decoded blocks of elevations, surface and canopy
    std::size_t rain_bytes = 0;   // the rain record; a longer one stays on disk
};

// What the program with its libraries and open inputs takes, and what has to be in memory of every footprint and
// parcel. Measured on basins of 1,000 to 1,000,000 footprints, rounded up. Bytes.
[[nodiscard]] std::uint64_t held_bytes(const Inputs& inputs);

// What the elevations, surface and canopy around one tile and its rows take, bytes.
[[nodiscard]] std::uint64_t tile_bytes(const Inputs& inputs, const Settings& settings, double tile_side_m);

// The least that will do: for one thread with the smallest tiles.
[[nodiscard]] std::uint64_t least_bytes(const Inputs& inputs, const Settings& settings);

// What a run on one thread with room to spare will take, roughly: with the pages of its work files that the system
// keeps in memory and takes away when others need it.
[[nodiscard]] std::uint64_t expected_bytes(const Inputs& inputs, const Settings& settings);

// What gathering takes with room to spare, bytes.
[[nodiscard]] std::uint64_t gather_bytes(const Inputs& inputs);

// An input error where that does not do for the basin-wide passes.
void require_memory_to_gather(std::size_t memory_mib, const Inputs& inputs);

// Shares out `memory_mib` less what is taken already. Smaller tiles first, then fewer threads; an input error where
// not even one thread with the smallest tiles fits, which says how much would do. Results depend on none of it.
[[nodiscard]] MemoryShares share_memory(std::size_t memory_mib, std::uint64_t taken_bytes, unsigned threads,
                                        const Inputs& inputs, const Settings& settings);

// The same for a part of a plan, whose tiles have their side already and of which so many footprints and parcels are
// kept in memory: nothing is planned and nothing written.
[[nodiscard]] MemoryShares share_part_memory(std::size_t memory_mib, unsigned threads, const Inputs& inputs,
                                             const Settings& settings, double tile_side_m, const InputRows& kept);
// What such a part takes on one thread with room to spare, bytes.
[[nodiscard]] std::uint64_t part_bytes(const Inputs& inputs, const Settings& settings, double tile_side_m,
                                       const InputRows& kept);

// How long one roof takes on one thread of a plain machine; good for an order of magnitude.
[[nodiscard]] double seconds_per_roof(const Inputs& inputs, const Settings& settings);

}  // namespace eaveshed
