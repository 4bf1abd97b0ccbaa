// A project file and the paths in it.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "eaveshed/core/finding.hpp"
#include "eaveshed/settings/settings.hpp"

namespace eaveshed {

struct Project {
    std::string file;   // as the user named it
    Settings settings;  // paths as given
    Settings resolved;  // the same with paths relative to the working folder or absolute
};

// Reads and checks the words; opens no input. Faults of the project file throw one input error that lists them all.
// What the project accepts (check.accepted) is told to `findings`. Addresses among the paths stand without user,
// password and query (network/address.hpp), which are kept for the requests.
[[nodiscard]] Project load_project(const std::string& file, Findings& findings);

// Keeps what the addresses of a project file hold beside their places, where settings come from elsewhere: a plan and a
// finished file know them without. Nothing where it is no file, or no project that can be read.
void keep_addresses_of(const std::string& file);

// What the settings accept (check.accepted) is told to `findings`.
void accept_as_told(const Settings& settings, Findings& findings);

// A message with its paths, where they stand in quotes or first, as the project file gives them: what is kept of it
// tells nothing of the machine, and is the same from whatever folder the program was called.
[[nodiscard]] std::string with_given_paths(const Project& project, std::string message);

// Settings that came from elsewhere, with paths relative to the folder of `file`.
[[nodiscard]] Project project_of(const Settings& settings, const std::string& file);

}  // namespace eaveshed
