// From the spool to the finished file: rows in input order, joined with their shapes and names.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

#include "eaveshed/inputs/inputs.hpp"
#include "eaveshed/plan/plan.hpp"
#include "eaveshed/progress/progress.hpp"
#include "eaveshed/publish/counts.hpp"
#include "eaveshed/publish/run_record.hpp"
#include "eaveshed/record/tile_rows.hpp"
#include "eaveshed/store/spool.hpp"

namespace eaveshed {

// Names the rows of a result: the tile knows numbers only.
void set_names(RoofRows& result, const std::string& roof_id, const std::optional<std::string>& parcel_id);
// The same for a parcel whose row has its name: scenarios and, with the name of the pad's roof, the pad.
void set_names(ParcelRows& result, const Settings& settings, const std::string& pad_roof_id);

struct GatherJob {
    const Project& project;
    const Inputs& inputs;
    const Plan& plan;
    const std::vector<InputFile>& files;
    Findings& findings;           // what the rows show is added
    std::filesystem::path spool;  // folder of the tiles' rows
    SpoolFormat format;
    std::filesystem::path output;
    unsigned threads = 1;
    bool strict = false;  // warnings stop the run
};

// Writes the GeoPackage and gives the counts. A missing or damaged row is a working error; nothing half-written stands
// under the output's name.
[[nodiscard]] RunCounts gather(const GatherJob& job, Progress& progress);

}  // namespace eaveshed
