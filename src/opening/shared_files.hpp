// One file given for two inputs: mostly a slip of copying. Private to the module.
#pragma once

#include "eaveshed/core/finding.hpp"
#include "eaveshed/inputs/inputs.hpp"

namespace eaveshed {

// An error for each pair of inputs that are the same file, or of a vector file the same layer of it, whatever their
// paths. Two may be meant: what tanks keep away from may serve another purpose too; variables of one climate file; the
// earlier screening.
void check_shared_files(const Inputs& inputs, Findings& findings);

}  // namespace eaveshed
