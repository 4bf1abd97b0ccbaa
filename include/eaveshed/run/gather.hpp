// From the spool to the finished file: rows in input order, joined with their shapes and names.
#pragma once

#include <filesystem>

#include "eaveshed/io/spool.hpp"
#include "eaveshed/run/counts.hpp"
#include "eaveshed/run/inputs.hpp"
#include "eaveshed/run/plan.hpp"
#include "eaveshed/run/progress.hpp"
#include "eaveshed/run/run_record.hpp"

namespace eaveshed::run {

struct GatherJob {
    const Project& project;
    const Inputs& inputs;
    const Plan& plan;
    const std::vector<InputFile>& files;
    const Findings& findings;
    std::filesystem::path spool;  // folder of the tiles' rows
    io::SpoolFormat format;
    std::filesystem::path output;
    unsigned threads = 1;
};

// Writes the GeoPackage and gives the counts. A missing or damaged row is a working error; nothing half-written stands
// under the output's name.
[[nodiscard]] RunCounts gather(const GatherJob& job, Progress& progress);

}  // namespace eaveshed::run
