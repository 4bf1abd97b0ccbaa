// Projects run in this process, as the command line runs them.
#pragma once

#include <gtest/gtest.h>

#include <optional>
#include <set>
#include <string>

#include "eaveshed/run/check.hpp"
#include "eaveshed/run/screen.hpp"
#include "support/temp_folder.hpp"

namespace eaveshed {

inline std::string demo_project() {
    return std::string(EAVESHED_SOURCE_DIR) + "/testdata/demo/basin.toml";
}

struct How {
    unsigned threads = 1;
    double tile_side_m = kTileSideM;
    bool overwrite = false;
    bool strict = false;
    std::size_t block_cache_bytes = kBlockCacheBytes;
    std::optional<std::size_t> memory_mib{};  // in place of tile_side_m and block_cache_bytes
    std::optional<std::uint64_t> most_rain_bytes{};
};

// Screens the project file into OUT (empty: where the project says) and gives what came of it; errors are thrown on.
inline ScreenResult screened(const std::string& project_file, const std::string& output, const How& how = {}) {
    Findings findings;
    const Project project = load_project(project_file, findings);
    ScreenOptions options;
    options.output = output;
    options.overwrite = how.overwrite;
    options.strict = how.strict;
    options.threads = how.threads;
    if (how.memory_mib) {
        options.memory_mib = *how.memory_mib;
    } else {
        options.plan.tile_side_m = how.tile_side_m;
        options.block_cache_bytes = how.block_cache_bytes;
    }
    options.most_rain_bytes = how.most_rain_bytes;
    Progress progress(ProgressStyle::none);
    return screen(project, options, findings, progress);
}

// The codes of what a look at the project tells with this severity.
inline std::set<std::string> codes_told(const std::string& project_file, Severity severity) {
    Findings findings;
    (void)check(load_project(project_file, findings), findings);
    std::set<std::string> codes;
    for (const Finding& finding : findings.list()) {
        if (finding.code && finding.severity == severity) {
            codes.emplace(to_text(*finding.code));
        }
    }
    return codes;
}

}  // namespace eaveshed
