// A plan kept in a folder: whole, for the one who gathers, and in slices, each with what the tiles of one part need and
// no more. Shapes stay in the plan's own record files there, which whole and slices share.
//
// Native byte order, and offsets of the program that wrote it: for other machines of the same kind, not for ever.
#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <vector>

#include "eaveshed/plan/plan.hpp"

namespace eaveshed {

// A plan of some tiles: roofs and parcels are numbered anew, in the order of the input.
struct PlanSlice {
    Plan plan;
    std::vector<std::uint64_t> roof_ordinals;  // by number here: the position in the input
    std::vector<std::uint64_t> parcel_ordinals;
};

// Tiles [first, first + count) of the whole plan, and how far in the CRS of the terrain something beside a roof of
// theirs can matter to it.
struct SliceOf {
    std::size_t first = 0;
    std::size_t count = 0;
    double reach_x = 0.0;
    double reach_y = 0.0;
};

// Writes FOLDER/whole.plan: all that is asked of a plan when its tiles are done. Places are left out. The plan's own
// records are in the folder.
void keep_whole(const Plan& plan, const std::filesystem::path& folder);
// `scratch`: where large lists may stand while the plan is in use.
[[nodiscard]] Plan kept_whole(const std::filesystem::path& folder, const std::filesystem::path& scratch);

// Writes the slice to a file. A slice holds the roofs of its tiles, the other footprints, obstacles and roads within
// reach of them, and the parcels of its sites.
// Gives how many footprints and parcels the slice holds.
InputRows keep_slice(const Plan& plan, const SliceOf& of, const std::filesystem::path& file);
// `folder`: where the records are. A file that is not whole is a working error that names it.
[[nodiscard]] PlanSlice kept_slice(const std::filesystem::path& folder, const std::filesystem::path& file);

}  // namespace eaveshed
