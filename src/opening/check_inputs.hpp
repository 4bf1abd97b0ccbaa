// The inputs held against each other and the settings. Private to the module.
#pragma once

#include "eaveshed/core/finding.hpp"
#include "eaveshed/inputs/inputs.hpp"
#include "eaveshed/project/project.hpp"

namespace eaveshed {

void check_inputs(const Project& project, const Inputs& inputs, Findings& findings);

}  // namespace eaveshed
