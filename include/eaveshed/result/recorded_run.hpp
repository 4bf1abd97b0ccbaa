// The run that made a finished file, as its run record tells it: settings and inputs.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/inputs/inputs.hpp"
#include "eaveshed/project/project.hpp"
#include "eaveshed/result/result_reader.hpp"

namespace eaveshed {

// An input file, then and now.
struct RecordedInput {
    std::string setting;  // e.g. "terrain.elevation"
    std::string path;     // as given then
    std::string sha256;   // then
    std::uint64_t size = 0;
    std::string modified{};  // then: 2026-11-25T10:13:00Z
    bool changed = false;    // gone, or another content now
};

struct RecordedRun {
    std::string file;             // the GeoPackage
    std::string program_version;  // that made it
    Project project;              // settings of the record; paths resolved
    std::vector<RecordedInput> inputs;
};

// The settings of the record alone: no input is looked for. Faults of the record are one input error.
[[nodiscard]] Settings recorded_settings(const ResultReader& result, const std::string& file);

// The inputs of the record, in its order, as they were then.
[[nodiscard]] std::vector<RecordedInput> recorded_inputs(const ResultReader& result);

// Where the inputs of a finished file lie now. `named`: the project file that was screened or its folder, as the user
// named it; empty: the folder of the GeoPackage, or the one from which the recorded basin.output leads to the
// GeoPackage, whichever holds all of `needed` (names of settings, "parcels.source"). What is needed and not there is an
// input error that says where it was looked for and what to do. Patterns (*.tif) are left to those who read them.
[[nodiscard]] Project recorded_project(const Settings& settings, const std::string& file, const std::string& named,
                                       std::span<const std::string_view> needed);

// Every path that its inputs may have now, by the same rules, there or not, and the file itself: none may be written
// over.
[[nodiscard]] std::vector<std::string> recorded_paths(const Settings& settings, const std::string& file,
                                                      const std::string& named);

// Settings from the record, inputs as recorded_project() finds them: all are needed. Warns when the project file's
// settings are not the record's, and when another version of the program made the file.
[[nodiscard]] RecordedRun recorded_run(const ResultReader& result, const std::string& file, const std::string& named,
                                       Findings& findings);

// Takes the digests of the inputs and warns of each that is not what it was.
void compare_inputs(RecordedRun& run, const Inputs& inputs, Findings& findings);

}  // namespace eaveshed
