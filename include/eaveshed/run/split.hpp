// The main job in parts, on one machine or many: `split` plans, `screen_part` computes one part, `gather_parts` writes
// the result. What stands between them is the folder of the plan (parts/plan_folder.hpp); the result is that of
// `screen`, to the byte.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/parts/plan_folder.hpp"
#include "eaveshed/progress/progress.hpp"
#include "eaveshed/project/project.hpp"
#include "eaveshed/publish/counts.hpp"
#include "eaveshed/run/memory_shares.hpp"

namespace eaveshed {

struct SplitOptions {
    std::string folder;
    std::size_t parts = 1;
    bool overwrite = false;  // replace a plan that stands there, with what its parts made
    bool strict = false;
    unsigned threads = 1;
    std::size_t memory_mib = kDefaultMemoryMib;  // of the split, and of each part
};

// Reads and judges all features, as `screen` does before its first tile, and writes the plan's folder; plan.json comes
// last. Findings are those of that look.
[[nodiscard]] PlanInParts split(const Project& project, const SplitOptions& options, Findings& findings,
                                Progress& progress);

struct PartOptions {
    std::string folder;
    std::uint64_t part = 1;
    std::string project;  // instead of the project file that the plan names, or its folder: where inputs lie now
    unsigned threads = 1;
    std::size_t memory_mib = kDefaultMemoryMib;
};

struct PartResult {
    std::string rows;           // the file
    bool stood_before = false;  // it was whole already: nothing was done
};

// Computes a part and publishes its rows by rename. Safe to run several times, also at once and on several hosts: equal
// bytes come from each, and whoever is last stays. Inputs that are not the plan's, by size and time, are an input
// error.
[[nodiscard]] PartResult screen_part(const PartOptions& options, Progress& progress);

struct GatherOptions {
    std::string folder;
    std::string output;   // empty: basin.output
    std::string project;  // as for a part
    bool overwrite = false;
    unsigned threads = 1;
    std::size_t memory_mib = kDefaultMemoryMib;
};

struct GatherResult {
    RunCounts counts;
    std::string output;
};

// Parts that are missing, and inputs that are not the plan's, are input errors; a part's file that is damaged or
// belongs to another plan is a working error that names it.
[[nodiscard]] GatherResult gather_parts(const GatherOptions& options, Findings& findings, Progress& progress);

}  // namespace eaveshed
