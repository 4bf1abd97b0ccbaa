// What a folder of work is for: the file plan.json in the work folder of a run, and in the folder of a plan in parts.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/parts/identity.hpp"
#include "eaveshed/store/spool.hpp"

namespace eaveshed {

inline constexpr std::string_view kManifestName = "plan.json";

// Tiles [first_tile, first_tile + tiles) of the plan, and what a scheduler asks of them.
struct PartOfPlan {
    std::uint64_t first_tile = 0;
    std::uint64_t tiles = 0;
    std::uint64_t roofs = 0;
    std::uint64_t parcels = 0;
    std::uint64_t seconds = 0;     // expected, on one thread; rough on purpose
    std::uint64_t memory_mib = 0;  // what to allow, on one thread
};

// Of a plan in parts.
struct PlanFacts {
    std::string project_file;  // in full; relative paths among the settings count from its folder
    bool strict = false;
    InputRows rows;
    std::vector<PartOfPlan> parts;
    std::vector<Finding> findings{};   // from the plan on, in order: what gather does not find again
    std::uint64_t gather_seconds = 0;  // expected
    std::uint64_t gather_memory_mib = 0;
};

struct Manifest {
    Identity identity;
    double tile_side_m = 0.0;
    std::optional<PlanFacts> plan{};  // none in the work folder of a run
};

// Written under a draft's name, brought to disk and put in place.
void write_manifest(const std::filesystem::path& folder, const Manifest& manifest);

// None where there is none. One that cannot be understood is a working error that names the file.
[[nodiscard]] std::optional<Manifest> read_manifest(const std::filesystem::path& folder);

}  // namespace eaveshed
