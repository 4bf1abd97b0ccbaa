// The files of a run's inputs, with what tells whether they are the same another time.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "eaveshed/core/calendar.hpp"
#include "eaveshed/files/fingerprint.hpp"
#include "eaveshed/inputs/inputs.hpp"
#include "eaveshed/project/project.hpp"

namespace eaveshed {

struct InputFile {
    std::string setting;  // e.g. "terrain.elevation"
    Fingerprint fingerprint;
};

// A file that the project reads, and what names it, for messages.
struct FileRead {
    std::string where;
    std::string path;
};
// Every one of them, also those of which only a later command makes use: none may become the output.
[[nodiscard]] std::vector<FileRead> files_read(const Project& project, const Inputs& inputs);

// Every file of every input, with the files that belong to it, in a fixed order.
[[nodiscard]] std::vector<InputFile> fingerprints(const Project& project, const Inputs& inputs, Digest digest);

// The newest modification time among the inputs, 2026-11-25T10:13:00.000Z: the time the finished file states as its
// own.
[[nodiscard]] std::string newest_input_time(const std::vector<InputFile>& files);

// The day of it, without reading a file: what stands for today where a record is asked whether it can have been
// measured, so that equal runs say the same whenever they are made.
[[nodiscard]] std::optional<Date> newest_input_day(const Project& project, const Inputs& inputs);

}  // namespace eaveshed
