// The steps that a run on one machine and a run in parts have in common. Private to the module.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include "eaveshed/core/error.hpp"
#include "eaveshed/creeks/creeks.hpp"
#include "eaveshed/creeks/subbasins.hpp"
#include "eaveshed/feed/basin_climate.hpp"
#include "eaveshed/files/file.hpp"
#include "eaveshed/inputs/input_files.hpp"
#include "eaveshed/opening/open_inputs.hpp"
#include "eaveshed/parts/identity.hpp"
#include "eaveshed/plan/plan.hpp"
#include "eaveshed/progress/progress.hpp"
#include "eaveshed/publish/counts.hpp"
#include "eaveshed/run/memory_shares.hpp"
#include "eaveshed/store/spool.hpp"

namespace eaveshed {

// Stops on errors, and on warnings too when strict, before any work.
void require_sound(const Project& project, const Findings& findings, bool strict);

// Fingerprints once more: a working error for an input that is not what it was.
void require_unchanged(const Project& project, const Inputs& inputs, const std::vector<InputFile>& before,
                       Digest digest);

[[nodiscard]] Identity identity_of(const Project& project, const std::vector<InputFile>& files);

[[nodiscard]] SpoolFormat spool_format(const Project& project, const Identity& identity);

// Takes the work folder of a run that is done away, and warns where something of it stays.
void clear_away(WorkFolder& work, Findings& findings);

// What of the basin's rain a tile loader keeps at hand.
[[nodiscard]] std::size_t kept_rain_bytes(const MemoryShares& shares);

// What is known when every tile is done.
struct ComputedBasin {
    const Project& project;
    const Inputs& inputs;
    const Plan& plan;
    const Creeks& creeks;
    const Subbasins& subbasins;
    const std::vector<InputFile>& files;
    std::optional<MonthDepths> mean_year_mm;
    std::vector<std::uint32_t> stations_used;
    unsigned threads = 1;
    bool strict = false;
};

// Gathers and writes the result under a draft's name in the work folder, and puts it in place of `output`.
[[nodiscard]] RunCounts write_result(const ComputedBasin& basin, GatheredRows rows, const std::string& output,
                                     const std::filesystem::path& work, Findings& findings, Progress& progress);

}  // namespace eaveshed
