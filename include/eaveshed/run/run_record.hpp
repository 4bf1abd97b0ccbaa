// What a finished file says of the run that made it. Nothing in it changes between two equal runs.
#pragma once

#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/core/timeline.hpp"
#include "eaveshed/io/fingerprint.hpp"
#include "eaveshed/record/run_record_row.hpp"
#include "eaveshed/run/counts.hpp"
#include "eaveshed/run/inputs.hpp"
#include "eaveshed/run/overrides.hpp"
#include "eaveshed/run/project.hpp"

namespace eaveshed::run {

struct InputFile {
    std::string setting;  // e.g. "terrain.elevation"
    io::Fingerprint fingerprint;
};

// Every file of every input, with the files that belong to it, in a fixed order.
[[nodiscard]] std::vector<InputFile> fingerprints(const Project& project, const Inputs& inputs, io::Digest digest);

// Fingerprint of everything the rows depend on: inputs, settings and program version.
[[nodiscard]] std::string plan_fingerprint(const Project& project, const std::vector<InputFile>& files);

// The newest modification time among the inputs, 2026-11-25T10:13:00.000Z: the time the finished file states as its
// own.
[[nodiscard]] std::string newest_input_time(const std::vector<InputFile>& files);

struct RunFacts {
    const Project& project;
    const Inputs& inputs;
    const std::vector<InputFile>& files;
    const Timeline& timeline;
    const Overrides& overrides;
    const RunCounts& counts;
    const Findings& findings;
};

[[nodiscard]] std::vector<RunRecordRow> run_record(const RunFacts& facts);

// The record as plain text, "key = value" a line.
[[nodiscard]] std::string record_text(const std::vector<RunRecordRow>& rows);

}  // namespace eaveshed::run
