// `check --new`: a project file drafted from files. Private to the module.
#pragma once

#include <iosfwd>
#include <string>
#include <vector>

#include "eaveshed/core/finding.hpp"

namespace eaveshed {

struct DraftWords {
    std::vector<std::string> files;
    std::string output;  // empty: the project file itself is the result
};

// Throws input errors: no such file, nothing that can be read, a project file that exists.
void draft_new_project(const DraftWords& words, std::ostream& out, Findings& findings);

}  // namespace eaveshed
