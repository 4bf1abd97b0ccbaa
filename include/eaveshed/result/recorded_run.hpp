// The run that made a finished file, as its run record tells it: settings and inputs.
#pragma once

#include <string>
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
    bool changed = false;  // gone, or another content now
};

struct RecordedRun {
    std::string file;             // the GeoPackage
    std::string program_version;  // that made it
    Project project;              // settings of the record; paths resolved
    std::vector<RecordedInput> inputs;
};

// The settings of the record alone: no input is looked for. Faults of the record are one input error.
[[nodiscard]] Settings recorded_settings(const ResultReader& result, const std::string& file);

// Settings from the record, paths relative to the folder of `project_file`, or of the GeoPackage where that is empty.
// An input that is not there is an input error that says so. Warns when the project file's settings are not the
// record's, and when another version of the program made the file.
[[nodiscard]] RecordedRun recorded_run(const ResultReader& result, const std::string& file,
                                       const std::string& project_file, Findings& findings);

// Takes the digests of the inputs and warns of each that is not what it was.
void compare_inputs(RecordedRun& run, const Inputs& inputs, Findings& findings);

}  // namespace eaveshed
