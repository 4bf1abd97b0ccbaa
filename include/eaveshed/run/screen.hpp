// The main job: plan, evaluate, gather.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "eaveshed/feed/basin_climate.hpp"
#include "eaveshed/feed/run_rasters.hpp"
#include "eaveshed/plan/plan.hpp"
#include "eaveshed/progress/progress.hpp"
#include "eaveshed/project/project.hpp"
#include "eaveshed/publish/counts.hpp"
#include "eaveshed/run/memory_shares.hpp"

namespace eaveshed {

struct ScreenOptions {
    std::string output;  // empty: basin.output
    bool overwrite = false;
    bool resume = false;  // take up what a run of the same job left in the work folder beside the output
    bool strict = false;  // warnings stop the run, and fingerprints cover whole files
    unsigned threads = 1;
    std::size_t memory_mib = kDefaultMemoryMib;  // not to be passed; results do not depend on it
    // Instead of what the memory gives room for.
    PlanOptions plan{};
    std::optional<std::size_t> block_cache_bytes{};
    std::optional<std::uint64_t> most_rain_bytes{};  // a longer record is kept in the work folder
    // Called once inputs and features were looked at, before the first roof is computed.
    std::function<void(const Findings&)> before_work{};
};

struct ScreenResult {
    RunCounts counts;
    std::string output;
    BlockCounts blocks;  // of elevations, surface and canopy; depends on threads and memory, and is written nowhere
    bool stood_before = false;  // the output was finished already: nothing was done, and nothing counted
};

// Input faults throw before any work, after every finding was given to `findings`. Rows with a status other than ok are
// results. Nothing half-written stands under the output's name, whatever ends the run. What ends it after the first
// tile was begun leaves the finished tiles' rows in the folder OUTPUT.work, where a run of the same job that is to
// resume takes them up; any other run clears them away.
[[nodiscard]] ScreenResult screen(const Project& project, const ScreenOptions& options, Findings& findings,
                                  Progress& progress);

// The name of the result: that of the options, else the project's. None, or one that is no GeoPackage's, throws.
[[nodiscard]] std::string output_name(const Project& project, const ScreenOptions& options);
// Where the result goes, checked: folder there and writable, no existing file without `overwrite`, no input. Throws.
[[nodiscard]] std::string checked_output(const Project& project, const ScreenOptions& options, const Inputs& inputs);

}  // namespace eaveshed
